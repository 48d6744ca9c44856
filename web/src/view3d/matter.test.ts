import { expect, it } from "vitest";
import { fillingColour, lab } from "./matter";

// Worked values of CIE L*a*b* to sRGB (Lindbloom's formulas, D65): white is L* 100,
// the sRGB red primary is L* 53.24 a* 80.09 b* 67.20.
it("turns L*a*b* into linear sRGB", () => {
  const white = lab(100, 0, 0);
  for (const v of [white.r, white.g, white.b]) expect(v).toBeCloseTo(1, 3);
  const red = lab(53.24, 80.09, 67.2);
  expect(red.r).toBeCloseTo(1, 2);
  expect(red.g).toBeCloseTo(0, 2);
  expect(red.b).toBeCloseTo(0, 2);
});
it("reads a colour from a filling's name", () => {
  const caramel = fillingColour("pear caramel");
  expect(caramel.r).toBeGreaterThan(caramel.b * 2);
  expect(fillingColour("???").equals(fillingColour(""))).toBe(true);
});
