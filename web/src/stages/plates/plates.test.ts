import { expect, it } from "vitest";
import type { OneTray } from "../../api";
import { short, tileOf } from "./plates";

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
