import { expect, it } from "vitest";
import { draftScale, mostDraft } from "../../view3d/surface";
import { draftColours, mostDraftDeg } from "./draft";

it("legend and shader show the same scale", () => {
  expect([draftColours, mostDraftDeg]).toEqual([draftScale, mostDraft]);
});

// OKLab lightness (Ottosson 2020) of an sRGB colour.
function lightness(hex: string): number {
  const [r, g, b] = [1, 3, 5].map((i) => {
    const c = Number.parseInt(hex.slice(i, i + 2), 16) / 255;
    return c <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4;
  }) as [number, number, number];
  const l = Math.cbrt(0.4122214708 * r + 0.5363325363 * g + 0.0514459929 * b);
  const m = Math.cbrt(0.2119034982 * r + 0.6806995451 * g + 0.1073969566 * b);
  const s = Math.cbrt(0.0883024619 * r + 0.2817188376 * g + 0.6299787005 * b);
  return 0.2104542553 * l + 0.793617785 * m - 0.0040720468 * s;
}
it("grows lighter in even steps", () => {
  const l = draftColours.map(lightness);
  const steps = l.slice(1).map((v, i) => v - l[i]!);
  const mean = steps.reduce((a, b) => a + b) / steps.length;
  // A tenth of a step is less than the eye tells apart on neighbouring fields.
  for (const s of steps) expect(Math.abs(s - mean)).toBeLessThan(0.1 * mean);
});
