import { expect, it } from "vitest";
import { jumped, offBy } from "./jump";

it("tells a clock that was set from time that passed", () => {
  const was = { wall: 1_000_000, own: 5_000 };
  expect(jumped(was, { wall: 1_060_000, own: 65_000 })).toBe(0); // a minute
  expect(jumped(was, { wall: 1_061_900, own: 65_000 })).toBe(0); // nudged
  expect(jumped(was, { wall: 1_000_000 - 3_540_000, own: 65_000 })).toBe(-3_600_000); // set back by an hour
  expect(jumped(was, { wall: 1_660_000, own: 65_000 })).toBe(600_000); // ahead by ten minutes, or asleep
});

it("follows the workshop's clock only where this one is off", () => {
  // The head says whole seconds: 10.000 may be anything up to 10.999.
  expect(offBy(10_000, 10_500, 10_520)).toBe(0);
  expect(offBy(10_000, 12_500, 12_600)).toBe(0);
  expect(offBy(190_000, 10_000, 10_200)).toBe(180_400); // three minutes behind
  expect(offBy(10_000, 70_000, 70_100)).toBe(-59_550);
});
