import { expect, it } from "vitest";
import { pathOf } from "./outline";

it("draws rings with y upwards", () => {
  expect(
    pathOf([
      [
        [0, 0],
        [1, 0],
        [1, 2],
      ],
    ]),
  ).toBe("M0.00 0.00L1.00 0.00L1.00 -2.00Z");
  expect(pathOf([])).toBe("");
});
