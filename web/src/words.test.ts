import { expect, it } from "vitest";
import { count, day, inWords, list, many } from "./words";

it.each([
  [0, "no"],
  [7, "seven"],
  [13, "thirteen"],
  [20, "twenty"],
  [26, "twenty-six"],
  [99, "ninety-nine"],
  [100, "100"],
])("%d is %s", (n, want) => expect(inWords(n)).toBe(want));

it("counts", () => {
  expect(count(1, "plate")).toBe("one\u00a0plate");
  expect(count(26, "piece")).toBe("twenty-six\u00a0pieces");
});
it("joins", () => {
  expect(list([])).toBe("");
  expect(list(["a"])).toBe("a");
  expect(list(["a", "b", "c"])).toBe("a, b and c");
});
it("makes plurals", () => {
  expect(["bee", "crest", "pears", "berry", "leaf", "box"].map(many)).toEqual([
    "bees",
    "crests",
    "pears",
    "berries",
    "leaves",
    "box",
  ]);
});
it("words a day", () => {
  expect(day("2026-12-09")).toBe("9\u00a0December\u00a02026");
  expect(day("soon")).toBe("soon");
});
