import { expect, it } from "vitest";
import type { OneTray, Placed, Placement, Tray } from "../../api";
import { free, put, within } from "./move";

const on = { number: 1, width_mm: 200, depth_mm: 100 } as OneTray;
const tray = { items: [{ name: "crest" }, { name: "bee" }] } as Tray;
const bee: Placed = { item: 1, number: 4, cavity: 2, x_mm: 30, y_mm: 40, turn_deg: 0, by_hand: false };
const place: Placement = { piece: "bee", number: 2, tray: 1, x_mm: 30, y_mm: 40, turn_deg: 0 };

it("stays inside, on half millimetres", () => {
  expect(within(on, { x_mm: 260, y_mm: -3, turn_deg: -90 })).toEqual({ x_mm: 200, y_mm: 0, turn_deg: 270 });
  expect(within(on, { x_mm: 30.26, y_mm: 40.2, turn_deg: 360 })).toEqual({ x_mm: 30.5, y_mm: 40, turn_deg: 0 });
});
it("writes a place of its own, then changes it, then takes it out", () => {
  const spot = { x_mm: 33.3, y_mm: 40, turn_deg: 0 };
  expect(put(tray, on, bee, spot, [])).toEqual([
    { do: "add", key: "master.place", value: { piece: "bee", number: 2, tray: 1, x_mm: 33.5, y_mm: 40 } },
  ]);
  expect(put(tray, on, bee, spot, [place])).toEqual([{ do: "set", key: "master.place[1].x_mm", value: 33.5 }]);
  expect(free(tray, on, bee, [{ ...place, number: 1 }, place])).toEqual([{ do: "remove", key: "master.place[2]" }]);
  expect(free(tray, on, bee, [])).toEqual([]);
});
