import { expect, it } from "vitest";
import { levels, path, refine, ticks, timeTicks, warm, warmColours } from "./plot";

it("finds round ticks", () => {
  expect(ticks(4, 31, 6)).toEqual([5, 10, 15, 20, 25, 30]);
  expect(ticks(0, 1, 5)).toEqual([0, 0.2, 0.4, 0.6, 0.8, 1]);
  expect(ticks(3, 3, 5)).toEqual([3]);
});
it("reads the clock in quarters and hours", () => {
  expect(timeTicks(50, 6)).toEqual([0, 10, 20, 30, 40, 50]);
  expect(timeTicks(500, 10)).toEqual([0, 60, 120, 180, 240, 300, 360, 420, 480]);
});

/** CIE lightness of a colour, IEC 61966-2-1 and CIE 15. */
function lightness(hex: string): number {
  const lin = [1, 3, 5].map((k) => {
    const v = Number.parseInt(hex.slice(k, k + 2), 16) / 255;
    return v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4;
  });
  const y = 0.2126 * lin[0]! + 0.7152 * lin[1]! + 0.0722 * lin[2]!;
  return 116 * Math.cbrt(y) - 16;
}
it("has a scale of warmth whose lightness falls evenly", () => {
  const l = warmColours.map(lightness);
  const mean = (l[0]! - l.at(-1)!) / (l.length - 1);
  for (let i = 1; i < l.length; i++) expect(Math.abs(l[i - 1]! - l[i]! - mean)).toBeLessThan(2.5);
  expect(warm(-1)).toBe(warmColours[0]);
  expect(warm(2)).toBe(warmColours.at(-1));
});
it("refines a map between its cubes, not across what is not shown", () => {
  const { values, on } = refine([0, 4, 9], 3, (n) => n !== 2, 2);
  expect(values.slice(0, 4)).toEqual([0, 1, 3, 4]);
  expect(on.slice(0, 6)).toEqual([true, true, true, true, false, false]);
});
it("joins equal cubes of a row", () => {
  const got = levels([4.1, 3.9, 7, 4, 4, 4], 3, 1, (n) => n !== 5);
  expect(got).toEqual([
    {
      level: 4,
      runs: [
        [0, 0, 2],
        [0, 1, 2],
      ],
    },
    { level: 7, runs: [[2, 0, 1]] },
  ]);
  expect(path(got[1]!.runs)).toBe("M2 0h1v1h-1z");
});
