import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";

// WCAG 2.2, relative luminance and contrast ratio.
function luminance(hex: string): number {
  const [r, g, b] = [1, 3, 5].map((i) => {
    const c = Number.parseInt(hex.slice(i, i + 2), 16) / 255;
    return c <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4;
  });
  return 0.2126 * r! + 0.7152 * g! + 0.0722 * b!;
}
const contrast = (a: string, b: string) => {
  const [x, y] = [luminance(a), luminance(b)].sort((p, q) => q - p);
  return (x! + 0.05) / (y! + 0.05);
};

const css = readFileSync("src/look/paper.css", "utf8");
const colours = (selector: string) => {
  const block = css.slice(css.indexOf(`${selector} {`), css.indexOf("}", css.indexOf(`${selector} {`)));
  return new Map([...block.matchAll(/--([a-z-]+): (#[0-9a-f]{6})/g)].map((m) => [m[1]!, m[2]!]));
};

describe.each([":root", ':root[data-light="night"]'])("%s", (selector) => {
  const c = colours(selector);
  const of = (name: string) => c.get(name)!;
  it("ink reads in a steamy kitchen", () => {
    for (const ground of ["paper", "card", "do-wash", "stop-wash"])
      expect(contrast(of("ink"), of(ground))).toBeGreaterThan(7);
  });
  it("labels, what can be done and what must stop read everywhere they stand", () => {
    for (const word of ["soft", "do", "stop"])
      for (const ground of ["paper", "card"]) expect(contrast(of(word), of(ground))).toBeGreaterThan(4.5);
    expect(contrast(of("do"), of("do-wash"))).toBeGreaterThan(4.5);
    expect(contrast(of("stop"), of("stop-wash"))).toBeGreaterThan(4.5);
    expect(contrast(of("on-do"), of("do"))).toBeGreaterThan(4.5);
  });
});
