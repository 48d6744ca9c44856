// What the height field tells about light: the normal at every sample, how much of
// the sky a place sees, and how much of the window. Arrays in, arrays out.
import type { Grid } from "../api";

export interface Heights {
  grid: Grid;
  z: Uint16Array;
}

/** at gives the height in mm at a place, between samples; 0 outside. */
export function at(h: Heights, x: number, y: number): number {
  const g = h.grid;
  const u = (x - g.x0_mm) / g.pitch_mm;
  const v = (y - g.y0_mm) / g.pitch_mm;
  if (!(u >= 0 && v >= 0 && u <= g.w - 1 && v <= g.h - 1)) return 0;
  const i = Math.min(Math.floor(u), g.w - 2);
  const j = Math.min(Math.floor(v), g.h - 2);
  const a = u - i;
  const b = v - j;
  const k = j * g.w + i;
  const z = h.z;
  const low = z[k]! * (1 - a) + z[k + 1]! * a;
  const high = z[k + g.w]! * (1 - a) + z[k + g.w + 1]! * a;
  return g.low_mm + g.step_mm * (low * (1 - b) + high * b);
}

/** normals gives the level parts of the unit normal, two numbers for each sample. */
export function normals(h: Heights, store: (v: number) => number): Uint16Array {
  const { w, h: rows, pitch_mm, step_mm } = h.grid;
  const out = new Uint16Array(2 * w * rows);
  const s = step_mm / pitch_mm;
  const z = h.z;
  const table = halves(store);
  for (let j = 0; j < rows; j++) {
    const up = Math.min(j + 1, rows - 1) * w;
    const down = Math.max(j - 1, 0) * w;
    const sy = s / Math.max(Math.min(j + 1, rows - 1) - Math.max(j - 1, 0), 1);
    for (let i = 0; i < w; i++) {
      const e = i + 1 < w ? i + 1 : i;
      const f = i > 0 ? i - 1 : i;
      const dx = ((z[j * w + e]! - z[j * w + f]!) * s) / Math.max(e - f, 1);
      const dy = (z[up + i]! - z[down + i]!) * sy;
      const n = 1 / Math.sqrt(1 + dx * dx + dy * dy);
      const k = 2 * (j * w + i);
      out[k] = table[Math.round((1 - dx * n) * half)]!;
      out[k + 1] = table[Math.round((1 - dy * n) * half)]!;
    }
  }
  return out;
}

// Numbers from -1 to 1 in steps of 1/8192, finer than a half float near 1: looked up,
// since converting millions of them one by one takes longer than all the rest.
const half = 8192;
let made: Uint16Array | null = null;
function halves(store: (v: number) => number): Uint16Array {
  made ??= Uint16Array.from({ length: 2 * half + 1 }, (_, i) => store(i / half - 1));
  return made;
}

export interface Light {
  w: number;
  h: number;
  /** Two bytes for each place: sky seen, window seen. */
  seen: Uint8Array;
}

/** Where the window stands, seen from the chocolate: direction on the table and height. */
export const window3d = { x: -0.62, y: 0.78, tan: 0.85, soft: 0.5 };

const ways = Array.from({ length: 12 }, (_, i) => {
  const a = (2 * Math.PI * (i + 0.5)) / 12;
  return [Math.cos(a), Math.sin(a)] as const;
});

/** How far a place looks for what stands in its sky, mm: strokes and hollows of a piece. */
const nearMM = [0.16, 0.35, 0.7, 1.4, 2.8];
/** The same for the table around a piece. */
export const farMM = [0.4, 1, 2.2, 4.5, 9];

/** light computes what every place sees, on a coarser grid of at most the given width. */
export function light(h: Heights, most: number, reachMM: number[] = nearMM): Light {
  const g = h.grid;
  const every = Math.max(1, Math.ceil(Math.max(g.w, g.h) / most));
  const w = Math.max(2, Math.floor((g.w - 1) / every) + 1);
  const rows = Math.max(2, Math.floor((g.h - 1) / every) + 1);
  const p = g.pitch_mm * every;
  const z = new Float32Array(w * rows);
  for (let j = 0; j < rows; j++)
    for (let i = 0; i < w; i++)
      z[j * w + i] = g.step_mm * h.z[Math.min(j * every, g.h - 1) * g.w + Math.min(i * every, g.w - 1)]!;
  const seen = new Uint8Array(2 * w * rows);
  const reach = reachMM.map((mm) => Math.max(mm / p, 0.75));
  const march = Array.from({ length: 16 }, (_, i) => (reachMM[0]! * 0.75 * 1.34 ** (i + 1)) / p).map((d) =>
    Math.max(d, 0.8),
  );
  const get = (x: number, y: number) => {
    const i = Math.round(x);
    const j = Math.round(y);
    return i < 0 || j < 0 || i >= w || j >= rows ? 0 : z[j * w + i]!;
  };
  for (let j = 0; j < rows; j++) {
    for (let i = 0; i < w; i++) {
      const here = z[j * w + i]!;
      let sky = 0;
      for (const [cx, cy] of ways) {
        let tan = 0;
        for (const d of reach) tan = Math.max(tan, (get(i + cx * d, j + cy * d) - here) / (d * p));
        sky += 1 / (1 + tan * tan); // cos² of the horizon: a cosine-weighted sky
      }
      let rise = 0;
      for (const d of march) rise = Math.max(rise, (get(i + window3d.x * d, j + window3d.y * d) - here) / (d * p));
      const open = Math.min(Math.max((window3d.tan + window3d.soft / 2 - rise) / window3d.soft, 0), 1);
      const k = 2 * (j * w + i);
      seen[k] = Math.round((255 * sky) / ways.length);
      seen[k + 1] = Math.round(255 * open * open * (3 - 2 * open));
    }
  }
  return { w, h: rows, seen };
}
