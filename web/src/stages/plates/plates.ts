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
