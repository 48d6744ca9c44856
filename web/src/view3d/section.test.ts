import { expect, it } from "vitest";
import type { Heights } from "./heights";
import { area, section } from "./section";

// A block 10 mm wide and 6 mm high with a room 8 mm wide and 4 mm high, walls that
// span one sample of 0.1 mm.
function block(width: number, height: number): Heights {
  const w = 121;
  const z = new Uint16Array(w * w);
  for (let j = 0; j < w; j++)
    for (let i = 0; i < w; i++)
      if (Math.max(Math.abs(i - 60), Math.abs(j - 60)) * 0.1 <= width / 2 + 1e-9) z[j * w + i] = height * 1000;
  return { grid: { w, h: w, pitch_mm: 0.1, x0_mm: -6, y0_mm: -6, low_mm: 0, step_mm: 0.001 }, z };
}

it("parts a cut into shell, filling and cap", () => {
  const s = section(block(10, 6), block(8, 4), 1.5, "y", 0);
  // Each wall adds half a sample at both ends to the width.
  expect(area(s.cap)).toBeCloseTo(8.1 * 1.5, 1);
  expect(area(s.filling)).toBeCloseTo(8.1 * 2.5, 1);
  expect(area(s.shell)).toBeCloseTo(10.1 * 6 - 8.1 * 4, 1);
  expect(s.filling.middle?.[2]).toBeCloseTo(2.75, 3);
});
it("is all shell without a filling, and empty beside the piece", () => {
  const s = section(block(10, 6), null, 0, "x", 1);
  expect(area(s.shell)).toBeCloseTo(10.1 * 6, 1);
  expect(s.filling.middle).toBeNull();
  expect(area(section(block(10, 6), null, 0, "x", 5.8).shell)).toBe(0);
});
