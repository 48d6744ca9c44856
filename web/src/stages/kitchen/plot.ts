// Axes of the kitchen's plots, and the scale of its temperature maps.

/** ticks are round numbers from low to high, at most so many apart from one. */
export function ticks(low: number, high: number, most: number): number[] {
  if (!(high > low) || most < 1) return [low];
  const rough = (high - low) / most;
  const e = 10 ** Math.floor(Math.log10(rough));
  const step = [1, 2, 5, 10].map((k) => k * e).find((v) => v >= rough * 0.999) ?? 10 * e;
  const out: number[] = [];
  for (let v = Math.ceil(low / step - 1e-9) * step; v <= high + step * 1e-9; v += step)
    out.push(Number(v.toPrecision(12)));
  return out;
}

/** timeTicks are minutes at which a clock is read: quarters, halves, whole hours. */
export function timeTicks(min: number, most: number): number[] {
  const step = [1, 2, 5, 10, 15, 30, 60, 120, 240, 480, 1440].find((s) => min / s <= most) ?? 2880;
  const out: number[] = [];
  for (let v = 0; v <= min + 1e-9; v += step) out.push(v);
  return out;
}

/** One scale for warmth: evenly darker from cold to warm (equal steps of OKLab lightness). The printed sheets have the same. */
export const warmColours = ["#fbeeda", "#e9cba5", "#d7a677", "#c18353", "#a5633d", "#824932", "#5b342a"];

/** warm gives the colour of a share from 0, cold, to 1, warm. */
export function warm(share: number): string {
  const n = warmColours.length - 1;
  const at = Math.min(Math.max(share, 0), 1) * n;
  const i = Math.min(Math.floor(at), n - 1);
  const a = channels(warmColours[i]!);
  const b = channels(warmColours[i + 1]!);
  const mix = a.map((v, k) => Math.round(v + (b[k]! - v) * (at - i)));
  return `#${mix.map((v) => v.toString(16).padStart(2, "0")).join("")}`;
}

const channels = (hex: string) => [1, 3, 5].map((k) => Number.parseInt(hex.slice(k, k + 2), 16));

/** refine puts n by n values in the place of each, between it and its neighbours that are shown too. */
export function refine(
  values: number[],
  w: number,
  shown: (n: number) => boolean,
  n: number,
): { values: number[]; on: boolean[] } {
  const h = Math.floor(values.length / w);
  const out: number[] = new Array(values.length * n * n);
  const on: boolean[] = new Array(out.length);
  for (let k = 0; k < h * n; k++) {
    for (let i = 0; i < w * n; i++) {
      const own = Math.floor(k / n) * w + Math.floor(i / n);
      const at = k * w * n + i;
      on[at] = shown(own);
      if (!on[at]) continue;
      const u = (i + 0.5) / n - 0.5;
      const v = (k + 0.5) / n - 0.5;
      const a = Math.floor(u);
      const b = Math.floor(v);
      let sum = 0;
      let all = 0;
      for (const [x, y] of [
        [a, b],
        [a + 1, b],
        [a, b + 1],
        [a + 1, b + 1],
      ] as const) {
        if (x < 0 || y < 0 || x >= w || y >= h || !shown(y * w + x)) continue;
        const weight = (1 - Math.abs(u - x)) * (1 - Math.abs(v - y));
        sum += weight * values[y * w + x]!;
        all += weight;
      }
      out[at] = sum / all;
    }
  }
  return { values: out, on };
}

/** levels gathers the cubes of a map by whole steps of their value: runs of equal ones as one rectangle of a path. */
export function levels(
  values: number[],
  w: number,
  step: number,
  shown: (n: number) => boolean,
): { level: number; runs: [number, number, number][] }[] {
  const by = new Map<number, [number, number, number][]>();
  const rows = Math.floor(values.length / w);
  for (let k = 0; k < rows; k++) {
    for (let i = 0; i < w; ) {
      const n = k * w + i;
      if (!shown(n)) {
        i++;
        continue;
      }
      const level = Math.round(values[n]! / step);
      let j = i + 1;
      while (j < w && shown(k * w + j) && Math.round(values[k * w + j]! / step) === level) j++;
      const list = by.get(level) ?? [];
      list.push([i, k, j - i]);
      by.set(level, list);
      i = j;
    }
  }
  return [...by].sort((a, b) => a[0] - b[0]).map(([level, runs]) => ({ level: level * step, runs }));
}

/** path draws runs as rectangles with their corners on the lattice. */
export const path = (runs: [number, number, number][]) => runs.map(([i, k, n]) => `M${i} ${k}h${n}v1h${-n}z`).join("");
