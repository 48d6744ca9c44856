// What the drawing of a plate needs beyond its own numbers.
import type { OneTray } from "../../api";

/** tileOf finds the tile that a part's name means: tray 1 tile 2. */
export function tileOf(trays: OneTray[], name: string): { tray: OneTray; tile: OneTray["tiles"][number] } | null {
  const m = /^tray (\d+) tile (\d+)/.exec(name);
  if (!m) return null;
  const tray = trays.find((t) => t.number === Number(m[1]));
  const tile = tray?.tiles.find((t) => t.number === Number(m[2]));
  return tray && tile ? { tray, tile } : null;
}

/** short is a part's name as it stands in the drawing: 1.2, or frame left. */
export function short(name: string): string {
  const m = /^tray (\d+) (?:tile|piece) (\d+)/.exec(name);
  return m ? `${m[1]}.${m[2]}` : name.replace(/^tray (\d+) /, "$1: ");
}

/** boxOf is the box around an outline, in mm from the plate's left front corner. */
export function boxOf(rings: [number, number][][]): { x: number; y: number; w: number; d: number } {
  const xs = rings.flatMap((r) => r.map((p) => p[0]));
  const ys = rings.flatMap((r) => r.map((p) => p[1]));
  const [x, y] = [Math.min(...xs), Math.min(...ys)];
  return { x, y, w: Math.max(...xs) - x, d: Math.max(...ys) - y };
}

/** partsOf lists the parts of all plates by their numbers. */
export function partsOf(plates: { parts: string[]; part_numbers: number[] }[]): { number: number; name: string }[] {
  return plates
    .flatMap((p) => p.part_numbers.map((number, i) => ({ number, name: p.parts[i] ?? "" })))
    .sort((a, b) => a.number - b.number);
}

/** failedOf is the numbers of the parts of a revision that the record has as failed, and not as printed since. */
export function failedOf(
  r: {
    prints: { id?: string; code?: string; struck?: string }[];
    parts: { print: string; name: string; outcome: string; struck?: string }[];
  },
  code: string,
  parts: { number: number; name: string }[],
): number[] {
  const prints = new Set(r.prints.filter((p) => !p.struck && p.code === code).map((p) => p.id));
  const last = new Map(r.parts.filter((p) => !p.struck && prints.has(p.print)).map((p) => [p.name, p.outcome]));
  return parts.filter((p) => last.get(p.name) === "failed").map((p) => p.number);
}

/** jumpOf is the layer, from 0, that is larger than the one before by most. */
export function jumpOf(areas: number[]): { layer: number; grown: number } {
  let best = { layer: 0, grown: 0 };
  areas.forEach((a, k) => {
    const grown = k > 0 ? a - (areas[k - 1] ?? 0) : 0;
    if (grown > best.grown) best = { layer: k, grown };
  });
  return best;
}

/** curve is the outline of a bar chart, one bar to a layer, as an SVG path. */
export function curve(areas: number[], x: (layer: number) => number, y: (area: number) => number): string {
  const steps = areas.map((a, k) => `L${x(k).toFixed(1)} ${y(a).toFixed(1)}L${x(k + 1).toFixed(1)} ${y(a).toFixed(1)}`);
  return `M${x(0).toFixed(1)} ${y(0).toFixed(1)}${steps.join("")}L${x(areas.length).toFixed(1)} ${y(0).toFixed(1)}Z`;
}

/** proof says in words how short the plates' time is. */
export function proof(
  p: {
    plate_time_min: { likely: number };
    plate_time_bound_min: { likely: number };
    plate_time_apart_min: { likely: number };
  },
  parts: number,
  duration: (min: number) => string,
): string {
  const [time, bound, apart] = [p.plate_time_min.likely, p.plate_time_bound_min.likely, p.plate_time_apart_min.likely];
  if (parts < 2) return "";
  const saved = `One by one the ${parts} parts would take ${duration(apart)}; on these plates they take ${duration(time)}.`;
  if (time <= bound + 1e-6) return `${saved} No arrangement is quicker: their areas and heights alone ask for as much.`;
  return `${saved} No arrangement can take less than ${duration(bound)}, by their areas and heights alone, so at most ${duration(time - bound)} could still be gained.`;
}
