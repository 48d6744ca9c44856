// Putting a piece by hand: what that writes into the job file.
import type { Edit, OneTray, Placed, Placement, Tray } from "../../api";

export interface Spot {
  x_mm: number;
  y_mm: number;
  turn_deg: number;
}

const near = (v: number) => Math.round(v * 2) / 2;

/** within keeps a spot inside the tray, on half millimetres. */
export function within(t: OneTray, s: Spot): Spot {
  const keep = (v: number, most: number) => near(Math.min(Math.max(v, 0), most));
  return { x_mm: keep(s.x_mm, t.width_mm), y_mm: keep(s.y_mm, t.depth_mm), turn_deg: ((s.turn_deg % 360) + 360) % 360 };
}

/** indexOf finds a placed piece among those put by hand, -1 when it is not. */
export function indexOf(tray: Tray, on: OneTray, p: Placed, places: Placement[]): number {
  const name = tray.items[p.item]?.name;
  return places.findIndex((q) => q.piece === name && q.number === p.cavity && q.tray === on.number);
}

/** put gives the edits that stand a piece at a spot. */
export function put(tray: Tray, on: OneTray, p: Placed, spot: Spot, places: Placement[]): Edit[] {
  const s = within(on, spot);
  const i = indexOf(tray, on, p, places);
  if (i < 0)
    return [
      {
        do: "add",
        key: "master.place",
        value: {
          piece: tray.items[p.item]?.name,
          number: p.cavity,
          tray: on.number,
          x_mm: s.x_mm,
          y_mm: s.y_mm,
          ...(s.turn_deg ? { turn_deg: s.turn_deg } : {}),
        },
      },
    ];
  const key = `master.place[${i + 1}]`;
  const was = places[i]!;
  const edits: Edit[] = [];
  for (const k of ["x_mm", "y_mm", "turn_deg"] as const)
    if (was[k] !== s[k]) edits.push({ do: "set", key: `${key}.${k}`, value: s[k] });
  return edits;
}

/** free lets a piece be laid out by itself again. */
export function free(tray: Tray, on: OneTray, p: Placed, places: Placement[]): Edit[] {
  const i = indexOf(tray, on, p, places);
  return i < 0 ? [] : [{ do: "remove", key: `master.place[${i + 1}]` }];
}
