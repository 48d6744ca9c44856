// The chocolate's surface: a mesh for its outline against the paper, and for every
// pixel the normal and the light of the height field, which is far finer.
import {
  Color,
  DataTexture,
  DataUtils,
  HalfFloatType,
  LinearFilter,
  MeshPhysicalMaterial,
  RedFormat,
  RGFormat,
  UnsignedByteType,
  Vector2,
  Vector3,
} from "three";
import { type Heights, light, normals } from "./heights";
import type { Matter } from "./matter";

/** The lean at which the scale ends. Degrees. */
export const mostDraft = 20;
/** The scale's ends, from little lean to much: one hue, evenly lighter (OKLab). sRGB. */
export const draftScale = ["#173a5e", "#476488", "#7690b0", "#a8bdd6", "#dde8f4"];

/** Difference to the drawn surface: missing at its most, half of it, none, too much by half, at its most. */
export const differenceScale = ["#1f3f63", "#8aa2bd", "#efe9dc", "#c9a071", "#6b3410"];
/** Layer steps: none to see, too close to be told apart, and two tones that change with each layer that shows. */
export const stepsScale = ["#f3ede0", "#cdbfae", "#9a6a44", "#5a341c"];
/** What the surface is coloured by: nothing, draft of its walls, difference, layer steps. */
export const maps = { none: 0, draft: 1, difference: 2, steps: 3 } as const;

/** Rules that the maps show. */
export interface Rules {
  leastDraftDeg: number;
  layerMM: number;
  coatMM: number;
  eyeMM: number;
}

interface Uniforms {
  normals: { value: DataTexture | null };
  seen: { value: DataTexture | null };
  origin: { value: Vector2 };
  size: { value: Vector2 };
  map: { value: number };
  through: { value: number };
  scale: { value: Color[] };
  least: { value: number };
  layer: { value: Vector3 };
  diff: { value: DataTexture | null };
  diffOrigin: { value: Vector2 };
  diffSize: { value: Vector2 };
  diffScale: { value: Color[] };
  steps: { value: Color[] };
  warn: { value: Color };
}

export class Surface {
  readonly uniforms: Uniforms = {
    normals: { value: null },
    seen: { value: null },
    origin: { value: new Vector2() },
    size: { value: new Vector2(1, 1) },
    map: { value: maps.none },
    through: { value: 0 },
    scale: { value: draftScale.map((c) => new Color(c)) },
    least: { value: 3 },
    layer: { value: new Vector3(0.05, 0, 0.1) },
    diff: { value: null },
    diffOrigin: { value: new Vector2() },
    diffSize: { value: new Vector2(1, 1) },
    diffScale: { value: differenceScale.map((c) => new Color(c)) },
    steps: { value: stepsScale.map((c) => new Color(c)) },
    warn: { value: new Color("#a3262a") },
  };
  readonly material: MeshPhysicalMaterial;

  constructor() {
    const m = new MeshPhysicalMaterial({ metalness: 0, ior: 1.46, roughness: 0.4 });
    m.onBeforeCompile = (shader) => {
      const u = this.uniforms;
      Object.assign(shader.uniforms, {
        mwNormals: u.normals,
        mwSeen: u.seen,
        mwOrigin: u.origin,
        mwSize: u.size,
        mwMap: u.map,
        mwThrough: u.through,
        mwScale: u.scale,
        mwWarn: u.warn,
        mwLeast: u.least,
        mwLayer: u.layer,
        mwDiff: u.diff,
        mwDiffOrigin: u.diffOrigin,
        mwDiffSize: u.diffSize,
        mwDiffScale: u.diffScale,
        mwSteps: u.steps,
      });
      shader.vertexShader = shader.vertexShader
        .replace("#include <common>", "#include <common>\nvarying vec3 mwPlace;")
        .replace("#include <begin_vertex>", "#include <begin_vertex>\nmwPlace = position;");
      shader.fragmentShader = shader.fragmentShader
        .replace("#include <common>", `#include <common>\n${head}`)
        .replace("#include <normal_fragment_begin>", normalPart)
        .replace("#include <aomap_fragment>", lightPart)
        .replace("#include <opaque_fragment>", `${mapPart}\n#include <opaque_fragment>`);
    };
    this.material = m;
  }

  /** dress lays a height field's normals and light on the mesh. */
  dress(h: Heights, fine: boolean) {
    const g = h.grid;
    const n = new DataTexture(normals(h, DataUtils.toHalfFloat), g.w, g.h, RGFormat, HalfFloatType);
    n.minFilter = n.magFilter = LinearFilter;
    n.needsUpdate = true;
    const l = light(h, fine ? 400 : 150);
    const s = new DataTexture(l.seen, l.w, l.h, RGFormat, UnsignedByteType);
    s.minFilter = s.magFilter = LinearFilter;
    s.needsUpdate = true;
    this.uniforms.normals.value?.dispose();
    this.uniforms.seen.value?.dispose();
    this.uniforms.normals.value = n;
    this.uniforms.seen.value = s;
    this.uniforms.origin.value.set(g.x0_mm - g.pitch_mm / 2, g.y0_mm - g.pitch_mm / 2);
    this.uniforms.size.value.set(g.w * g.pitch_mm, g.h * g.pitch_mm);
  }

  /** differ lays the difference to another surface on the mesh; most is where the scale ends, mm. */
  differ(d: Heights, most: number) {
    const g = d.grid;
    const bytes = new Uint8Array(g.w * g.h);
    for (let k = 0; k < bytes.length; k++) {
      const mm = g.low_mm + g.step_mm * d.z[k]!;
      bytes[k] = Math.round(127.5 + 127.5 * Math.min(Math.max(mm / most, -1), 1));
    }
    const t = new DataTexture(bytes, g.w, g.h, RedFormat, UnsignedByteType);
    t.unpackAlignment = 1;
    t.minFilter = t.magFilter = LinearFilter;
    t.needsUpdate = true;
    this.uniforms.diff.value?.dispose();
    this.uniforms.diff.value = t;
    this.uniforms.diffOrigin.value.set(g.x0_mm - g.pitch_mm / 2, g.y0_mm - g.pitch_mm / 2);
    this.uniforms.diffSize.value.set(g.w * g.pitch_mm, g.h * g.pitch_mm);
  }

  judge(r: Rules) {
    this.uniforms.least.value = r.leastDraftDeg;
    this.uniforms.layer.value.set(r.layerMM, r.coatMM, r.eyeMM);
  }

  paint(m: Matter) {
    this.material.color.copy(m.albedo);
    this.material.roughness = m.roughness;
    this.uniforms.through.value = m.through;
  }

  dispose() {
    this.uniforms.normals.value?.dispose();
    this.uniforms.seen.value?.dispose();
    this.uniforms.diff.value?.dispose();
    this.material.dispose();
  }
}

const head = /* glsl */ `
varying vec3 mwPlace;
uniform sampler2D mwNormals;
uniform sampler2D mwSeen;
uniform vec2 mwOrigin;
uniform vec2 mwSize;
uniform float mwMap;
uniform float mwLeast;
uniform vec3 mwLayer;
uniform sampler2D mwDiff;
uniform vec2 mwDiffOrigin;
uniform vec2 mwDiffSize;
uniform vec3 mwDiffScale[5];
uniform vec3 mwSteps[4];
uniform float mwThrough;
uniform vec3 mwScale[5];
uniform vec3 mwWarn;
`;

const normalPart = /* glsl */ `
float faceDirection = 1.0;
vec2 mwAt = (mwPlace.xy - mwOrigin) / mwSize;
vec2 mwLevel = texture2D(mwNormals, mwAt).xy;
vec3 mwNormal = normalize(vec3(mwLevel, sqrt(max(1.0 - dot(mwLevel, mwLevel), 0.0)) + 1e-3));
vec3 normal = normalize((viewMatrix * vec4(mwNormal, 0.0)).xyz); // the body stands unturned
vec3 nonPerturbedNormal = normal;
`;

// Sky and window as the height field has them. Light that creeps through the matter
// lifts the shade and takes on its colour (a multi-bounce fit to ambient occlusion:
// Jimenez and others, Practical real-time strategies for accurate indirect occlusion, 2016).
const lightPart = /* glsl */ `
vec2 mwLight = texture2D(mwSeen, mwAt).xy;
// A steep wall is narrower than the samples of the light: it takes what a wall sees.
float wall = smoothstep(0.75, 0.35, mwNormal.z);
float sky = mix(mwLight.x, 0.62 + 0.3 * smoothstep(0.0, 4.0, mwPlace.z), wall);
mwLight.y = mix(mwLight.y, 1.0, wall);
vec3 a3 = 2.0404 * diffuseColor.rgb - 0.3324;
vec3 b3 = -4.7951 * diffuseColor.rgb + 0.6417;
vec3 c3 = 2.7552 * diffuseColor.rgb + 0.6903;
vec3 sky3 = max(vec3(sky), ((sky * a3 + b3) * sky + c3) * sky);
reflectedLight.indirectDiffuse *= sky3;
float open = mix(mwLight.y, 1.0, 0.25 * mwThrough);
reflectedLight.directDiffuse *= mix(vec3(open), sqrt(diffuseColor.rgb) * 0.5 + open * 0.5, 0.35 * mwThrough);
reflectedLight.directSpecular *= open * 0.5;
reflectedLight.indirectSpecular *= sky * (0.3 + 0.7 * mwLight.y);
`;

// Signs are hatched, so that a map says the same in grey. The looks of a layered
// surface are those of internal/flow/forecast/slope.go: level within a tenth of a
// degree or under the coat; terraces narrower than an eye tells apart; terraces.
const mapPart = /* glsl */ `
if (mwMap > 0.5) {
  float shade = 0.78 + 0.22 * sky;
  float stripe = step(fract((gl_FragCoord.x + gl_FragCoord.y) / 9.0), 0.5);
  vec3 tone;
  if (mwMap < 1.5) {
    float lean = degrees(asin(clamp(mwNormal.z, 0.0, 1.0)));
    float t = clamp(lean / ${mostDraft.toFixed(1)}, 0.0, 1.0) * 4.0;
    int k = int(min(floor(t), 3.0));
    tone = mix(mwScale[k], mwScale[k + 1], t - float(k));
    if (lean < mwLeast && mwPlace.z > 0.02) tone = mix(tone, mwWarn, stripe);
  } else if (mwMap < 2.5) {
    float t = texture2D(mwDiff, (mwPlace.xy - mwDiffOrigin) / mwDiffSize).x * 4.0;
    int k = int(min(floor(t), 3.0));
    tone = mix(mwDiffScale[k], mwDiffScale[k + 1], t - float(k));
    if (t < 1.6) tone = mix(tone, mwDiffScale[2], 0.55 * stripe);
  } else {
    float slope = sqrt(max(1.0 - mwNormal.z * mwNormal.z, 0.0)) / max(mwNormal.z, 1e-3);
    float cusp = mwLayer.x * mwNormal.z;
    if (slope < 0.0017 || cusp <= mwLayer.y) tone = mwSteps[0];
    else if (mwLayer.x / slope <= mwLayer.z) tone = mwSteps[1];
    else tone = mod(floor(mwPlace.z / mwLayer.x + 0.5), 2.0) < 0.5 ? mwSteps[2] : mwSteps[3];
  }
  outgoingLight = tone * shade;
}
`;
