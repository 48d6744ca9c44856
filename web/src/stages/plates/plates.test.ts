import { expect, it } from "vitest";
import type { OneTray } from "../../api";
import { curve, failedOf, jumpOf, partsOf, proof, short, tileOf } from "./plates";

it("finds the tile that a part's name means", () => {
  const trays = [{ number: 2, tiles: [{ number: 3, ring: [], placed: [] }] }] as unknown as OneTray[];
  expect(tileOf(trays, "tray 2 tile 3")?.tile.number).toBe(3);
  expect(tileOf(trays, "tray 2 tile 4")).toBeNull();
  expect(tileOf(trays, "tray 1 frame left")).toBeNull();
});
it("shortens names for the drawing", () => {
  expect(short("tray 1 tile 2")).toBe("1.2");
  expect(short("tray 1 frame left")).toBe("1: frame left");
});
it("finds the largest growth and draws a bar to a layer", () => {
  expect(jumpOf([10, 10, 40, 20])).toEqual({ layer: 2, grown: 30 });
  expect(jumpOf([10])).toEqual({ layer: 0, grown: 0 });
  expect(
    curve(
      [1, 2],
      (k) => k,
      (a) => -a,
    ),
  ).toBe("M0.0 0.0L0.0 -1.0L1.0 -1.0L1.0 -2.0L2.0 -2.0L2.0 0.0Z");
});
it("says how short the time is", () => {
  const p = (time: number, bound: number, apart: number) => ({
    plate_time_min: { likely: time },
    plate_time_bound_min: { likely: bound },
    plate_time_apart_min: { likely: apart },
  });
  const min = (m: number) => `${m} min`;
  expect(proof(p(40, 40, 90), 5, min)).toContain("No arrangement is quicker");
  expect(proof(p(50, 40, 90), 5, min)).toContain("at most 10 min could still be gained");
  expect(proof(p(50, 40, 50), 1, min)).toBe("");
});
it("lists parts by number", () => {
  expect(partsOf([{ parts: ["b", "a"], part_numbers: [2, 1] }])).toEqual([
    { number: 1, name: "a" },
    { number: 2, name: "b" },
  ]);
});
it("finds what failed and was not printed since", () => {
  const prints = [
    { id: "a", code: "7V6PGAN" },
    { id: "b", code: "7V6PGAN" },
    { id: "c", code: "OLDER00" },
    { id: "d", code: "7V6PGAN", struck: "twice" },
  ];
  const part = (print: string, name: string, outcome: string) => ({ print, name, outcome });
  const parts = [
    part("a", "tile", "failed"),
    part("a", "panel", "failed"),
    part("b", "tile", "good"),
    part("c", "peg", "failed"),
    part("d", "lid", "failed"),
  ];
  const all = ["tile", "panel", "peg", "lid"].map((name, i) => ({ number: i + 1, name }));
  expect(failedOf({ prints, parts }, "7V6PGAN", all)).toEqual([2]);
});
