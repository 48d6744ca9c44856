// The chocolate's surface: a mesh for its outline against the paper, and for every
// pixel the normal and the light of the height field, which is far finer.
import {
  Color,
  DataTexture,
  DataUtils,
  HalfFloatType,
  LinearFilter,
  MeshPhysicalMaterial,
  RGFormat,
  UnsignedByteType,
  Vector2,
} from "three";
import { type Heights, light, normals } from "./heights";
import type { Matter } from "./matter";

/** Below this lean a mould does not let go by itself; it is hatched. Degrees. */
export const leastDraft = 3;
/** The lean at which the scale ends. Degrees. */
export const mostDraft = 20;
/** The scale's ends, from little lean to much: one hue, evenly lighter (OKLab). sRGB. */
export const draftScale = ["#173a5e", "#476488", "#7690b0", "#a8bdd6", "#dde8f4"];

interface Uniforms {
  normals: { value: DataTexture | null };
  seen: { value: DataTexture | null };
  origin: { value: Vector2 };
  size: { value: Vector2 };
  draft: { value: number };
  through: { value: number };
  scale: { value: Color[] };
  warn: { value: Color };
}

export class Surface {
  readonly uniforms: Uniforms = {
    normals: { value: null },
    seen: { value: null },
    origin: { value: new Vector2() },
    size: { value: new Vector2(1, 1) },
    draft: { value: 0 },
    through: { value: 0 },
    scale: { value: draftScale.map((c) => new Color(c)) },
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
        mwDraft: u.draft,
        mwThrough: u.through,
        mwScale: u.scale,
        mwWarn: u.warn,
      });
      shader.vertexShader = shader.vertexShader
        .replace("#include <common>", "#include <common>\nvarying vec3 mwPlace;")
        .replace("#include <begin_vertex>", "#include <begin_vertex>\nmwPlace = position;");
      shader.fragmentShader = shader.fragmentShader
        .replace("#include <common>", `#include <common>\n${head}`)
        .replace("#include <normal_fragment_begin>", normalPart)
        .replace("#include <aomap_fragment>", lightPart)
        .replace("#include <opaque_fragment>", `${draftPart}\n#include <opaque_fragment>`);
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

  paint(m: Matter) {
    this.material.color.copy(m.albedo);
    this.material.roughness = m.roughness;
    this.uniforms.through.value = m.through;
  }

  dispose() {
    this.uniforms.normals.value?.dispose();
    this.uniforms.seen.value?.dispose();
    this.material.dispose();
  }
}

const head = /* glsl */ `
varying vec3 mwPlace;
uniform sampler2D mwNormals;
uniform sampler2D mwSeen;
uniform vec2 mwOrigin;
uniform vec2 mwSize;
uniform float mwDraft;
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

const draftPart = /* glsl */ `
if (mwDraft > 0.5) {
  float lean = degrees(asin(clamp(mwNormal.z, 0.0, 1.0)));
  float t = clamp(lean / ${mostDraft.toFixed(1)}, 0.0, 1.0) * 4.0;
  int k = int(min(floor(t), 3.0));
  vec3 tone = mix(mwScale[k], mwScale[k + 1], t - float(k));
  float stripe = step(fract((gl_FragCoord.x + gl_FragCoord.y) / 9.0), 0.5);
  if (lean < ${leastDraft.toFixed(1)} && mwPlace.z > 0.02) tone = mix(tone, mwWarn, stripe);
  float shade = 0.78 + 0.22 * sky;
  outgoingLight = tone * shade;
}
`;
