// The paper that the chocolate lies on: nothing but the shadow that it throws.
import { DataTexture, DoubleSide, LinearFilter, Mesh, MeshBasicMaterial, PlaneGeometry, RGBAFormat } from "three";
import { at, farMM, type Heights, light } from "./heights";
import type { Axis } from "./section";

const size = 176;

export class Ground {
  readonly mesh = new Mesh(
    new PlaneGeometry(1, 1),
    new MeshBasicMaterial({ transparent: true, depthWrite: false, side: DoubleSide, toneMapped: false }),
  );

  /** shade computes the shadow of what is left of the piece behind the cut. */
  shade(h: Heights, cut: { axis: Axis; mm: number } | null, night: boolean) {
    const g = h.grid;
    const wide = Math.max(g.w, g.h) * g.pitch_mm * 2;
    const p = wide / (size - 1);
    const z = new Uint16Array(size * size);
    for (let j = 0; j < size; j++)
      for (let i = 0; i < size; i++) {
        const x = i * p - wide / 2;
        const y = j * p - wide / 2;
        if (cut && (cut.axis === "y" ? y < cut.mm : x > cut.mm)) continue;
        z[j * size + i] = Math.min(at(h, x, y) * 1000, 65535);
      }
    const l = light(
      { grid: { w: size, h: size, pitch_mm: p, x0_mm: -wide / 2, y0_mm: -wide / 2, low_mm: 0, step_mm: 0.001 }, z },
      size,
      farMM,
    );
    const near = new Float32Array(l.w * l.h);
    const cast = new Float32Array(l.w * l.h);
    for (let k = 0; k < near.length; k++) {
      const under = z[k]! > 0;
      near[k] = under ? 0.8 : 0.8 * (1 - l.seen[2 * k]! / 255);
      cast[k] = under ? 0.55 : 0.55 * (1 - l.seen[2 * k + 1]! / 255);
    }
    // A window is wide: the farther a shadow falls, the softer; twice is soft enough to look at.
    soften(cast, l.w, 5);
    soften(cast, l.w, 3);
    soften(near, l.w, 2);
    const rgba = new Uint8Array(4 * l.w * l.h);
    for (let k = 0; k < near.length; k++) {
      rgba.set(night ? [6, 3, 2] : [58, 36, 22], 4 * k);
      rgba[4 * k + 3] = Math.round(255 * (1 - (1 - near[k]!) * (1 - cast[k]!)) * (night ? 0.9 : 0.85));
    }
    const t = new DataTexture(rgba, l.w, l.h, RGBAFormat);
    t.colorSpace = "srgb";
    t.minFilter = t.magFilter = LinearFilter;
    t.needsUpdate = true;
    const m = this.mesh.material;
    m.map?.dispose();
    m.map = t;
    m.needsUpdate = true;
    this.mesh.scale.set(wide, wide, 1);
    this.mesh.position.z = -0.01;
  }

  dispose() {
    this.mesh.material.map?.dispose();
    this.mesh.material.dispose();
    this.mesh.geometry.dispose();
  }
}

/** soften averages over a square of 2 r + 1 places, rows first, then columns; the rim fades to nothing. */
function soften(f: Float32Array, w: number, r: number) {
  const h = f.length / w;
  const line = new Float32Array(Math.max(w, h));
  const run = (n: number, start: number, step: number) => {
    let sum = 0;
    for (let i = -r; i < n; i++) {
      sum += (i + r < n ? f[start + (i + r) * step]! : 0) - (i - r - 1 >= 0 ? f[start + (i - r - 1) * step]! : 0);
      if (i >= 0) line[i] = sum / (2 * r + 1);
    }
    for (let i = 0; i < n; i++) f[start + i * step] = line[i]!;
  };
  for (let j = 0; j < h; j++) run(w, j * w, 1);
  for (let i = 0; i < w; i++) run(h, i, w);
}
