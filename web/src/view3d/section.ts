// The face of a cut: cap, filling and shell as strips of triangles between curves
// sampled along the plane. No boolean: all are heights.
import type { Heights } from "./heights";
import { at } from "./heights";

export type Axis = "x" | "y";

export interface Strip {
  /** x y z of each vertex. */
  positions: Float32Array;
  triangles: Uint32Array;
  /** Where a label may point, mm; null when the strip is empty. */
  middle: [number, number, number] | null;
}

export interface Section {
  shell: Strip;
  filling: Strip;
  cap: Strip;
}

/** section cuts with the plane axis = mm. Without a filling all is shell. */
export function section(outside: Heights, filling: Heights | null, capMM: number, axis: Axis, mm: number): Section {
  const g = outside.grid;
  const n = axis === "y" ? g.w : g.h;
  const start = axis === "y" ? g.x0_mm : g.y0_mm;
  const place = (i: number): [number, number] => {
    const s = start + i * g.pitch_mm;
    return axis === "y" ? [s, mm] : [mm, s];
  };
  const top = new Float32Array(n);
  const room = new Float32Array(n);
  const cap = new Float32Array(n);
  for (let i = 0; i < n; i++) {
    const [x, y] = place(i);
    top[i] = at(outside, x, y);
    room[i] = filling ? Math.min(at(filling, x, y), top[i]!) : 0;
    cap[i] = Math.min(room[i]!, capMM);
  }
  const zero = new Float32Array(n);
  const strip = (low: Float32Array, high: Float32Array) => between(low, high, place);
  return { shell: strip(room, top), filling: strip(cap, room), cap: strip(zero, cap) };
}

function between(low: Float32Array, high: Float32Array, place: (i: number) => [number, number]): Strip {
  const n = low.length;
  const positions = new Float32Array(6 * n);
  const triangles: number[] = [];
  let thickest = 0;
  for (let i = 0; i < n; i++) {
    const [x, y] = place(i);
    positions.set([x, y, low[i]!, x, y, high[i]!], 6 * i);
    if (i + 1 < n && (high[i]! > low[i]! || high[i + 1]! > low[i + 1]!)) {
      const k = 2 * i;
      triangles.push(k, k + 2, k + 1, k + 1, k + 2, k + 3);
    }
    thickest = Math.max(thickest, high[i]! - low[i]!);
  }
  return { positions, triangles: Uint32Array.from(triangles), middle: middleOf(low, high, 0.7 * thickest, place) };
}

/** middleOf is a place in a strip that is thick enough to point at, nearest to the middle of the cut. */
function middleOf(
  low: Float32Array,
  high: Float32Array,
  enough: number,
  place: (i: number) => [number, number],
): Strip["middle"] {
  const n = low.length;
  let best = -1;
  for (let i = 0; i < n; i++)
    if (high[i]! - low[i]! > Math.max(enough, 0.02) && (best < 0 || Math.abs(i - n / 2) < Math.abs(best - n / 2)))
      best = i;
  return best < 0 ? null : [...place(best), (low[best]! + high[best]!) / 2];
}

/** area of a strip in mm². */
export function area(s: Strip): number {
  let sum = 0;
  const p = s.positions;
  for (let t = 0; t < s.triangles.length; t += 3) {
    const [a, b, c] = [s.triangles[t]! * 3, s.triangles[t + 1]! * 3, s.triangles[t + 2]! * 3];
    const u = [p[b]! - p[a]!, p[b + 1]! - p[a + 1]!, p[b + 2]! - p[a + 2]!] as const;
    const v = [p[c]! - p[a]!, p[c + 1]! - p[a + 1]!, p[c + 2]! - p[a + 2]!] as const;
    sum += Math.hypot(u[1] * v[2] - u[2] * v[1], u[2] * v[0] - u[0] * v[2], u[0] * v[1] - u[1] * v[0]) / 2;
  }
  return sum;
}
