// The upright cut through a piece, as lines: outside, room inside the shell.
import type { PieceHead } from "../../api";
import type { Octets } from "../../octets";
import { at, type Heights } from "../../view3d/heights";

export interface Profile {
  /** mm from the middle. */
  x: number[];
  /** Height of the outside above the back, mm. */
  out: number[];
  /** Height of the room inside the shell; 0 where there is none. */
  room: number[];
}

/** profile cuts a piece at y mm in so many steps. */
export function profile(o: Octets<PieceHead>, yMM: number, steps = 240): Profile {
  const outside: Heights = { grid: o.head.heights, z: o.uint16("heights") };
  const filling: Heights | null = o.head.filling ? { grid: o.head.filling, z: o.uint16("filling") } : null;
  const g = outside.grid;
  const p: Profile = { x: [], out: [], room: [] };
  for (let i = 0; i <= steps; i++) {
    const x = g.x0_mm + ((g.w - 1) * g.pitch_mm * i) / steps;
    const out = at(outside, x, yMM);
    p.x.push(x);
    p.out.push(out);
    p.room.push(filling ? Math.max(0, Math.min(out, at(filling, x, yMM))) : 0);
  }
  return p;
}

/** line joins the points where a height is above least; X and Y place them. */
export function line(
  p: Profile,
  height: (i: number) => number,
  X: (mm: number) => number,
  Y: (mm: number) => number,
  least = 0.02,
): string {
  let d = "";
  let open = false;
  p.x.forEach((x, i) => {
    const h = height(i);
    if (h > least) {
      if (!open) d += `M${X(x).toFixed(1)} ${Y(0).toFixed(1)}`;
      d += `L${X(x).toFixed(1)} ${Y(h).toFixed(1)}`;
      open = true;
    } else if (open) {
      d += `L${X(x).toFixed(1)} ${Y(0).toFixed(1)}Z`;
      open = false;
    }
  });
  return open ? `${d}L${X(p.x.at(-1)!).toFixed(1)} ${Y(0).toFixed(1)}Z` : d;
}
