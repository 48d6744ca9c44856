import { describe, expect, it } from "vitest";
import { bytes, degrees, duration, figures, parse, share, shownAs, spread, words } from "./unit";

const plain = (s: string) => s.replaceAll("\u00a0", " ").replaceAll("\u202f", "'");
const m = words("metric");

describe("the same words as on the printed sheets", () => {
  it.each([
    [m.mass(412), "412 g"],
    [m.mass(8.44), "8.44 g"],
    [m.mass(0.0123), "0.0123 g"],
    [m.mass(999.4), "999 g"],
    [m.mass(999.6), "1 kg"],
    [m.mass(1240), "1.24 kg"],
    [m.mass(12_400_000), "12'400 kg"],
    [m.mass(-3), "−3 g"],
    [m.mass(Number.NaN), "—"],
    [m.volume(3100), "3.1 ml"],
    [m.length(0.05), "0.05 mm"],
    [duration(0.5), "30 s"],
    [duration(45), "45 min"],
    [duration(200), "3 h 20 min"],
    [duration(52 * 60), "2 d 4 h"],
    [degrees(8.24), "8.2°"],
    [share(0.0321), "3.21 %"],
    [figures(9.996), "10"],
    [spread({ low: 104, likely: 108, high: 112 }, m.mass), "104–112 g"],
    [spread({ low: 940, likely: 1000, high: 1100 }, m.mass), "940 g – 1.1 kg"],
    [spread({ low: 5, likely: 5, high: 5 }, m.mass), "5 g"],
    [bytes(3_500_000), "3.5 MB"],
  ])("%s", (got, want) => expect(plain(got)).toBe(want));
});

describe("US kitchen and shop units", () => {
  const u = words("us");
  // NIST Handbook 44, appendix C: 1 oz = 28.349523125 g, 1 US fl oz = 29.5735295625 ml.
  it("weighs in ounces and pounds", () => {
    expect(plain(u.mass(28.349523125))).toBe("1 oz");
    expect(plain(u.mass(453.59237))).toBe("1 lb");
  });
  it("pours in fluid ounces", () => expect(plain(u.volume(29_573.5295625))).toBe("1 fl oz"));
  it("reads degrees Fahrenheit", () => {
    const f = shownAs("C", "us");
    expect(f.show(100)).toBe(212);
    expect(f.store(32)).toBe(0);
  });
  it("gives back what it showed", () => {
    for (const unit of ["mm", "g", "C", "ml", "share", "deg"]) {
      const s = shownAs(unit, "us");
      expect(s.store(s.show(12.3))).toBeCloseTo(12.3, 9);
    }
  });
});

describe("what is typed", () => {
  it.each([
    ["36", 36],
    [" 36,5 mm", 36.5],
    ["-2.5", -2.5],
    ["−2.5°", -2.5],
    [".5", 0.5],
    ["12 400", 12400],
  ])("%s", (text, want) => expect(parse(text)).toBe(want));
  it.each(["", "wide", "1.2.3", "--4", "3 to 4"])("refuses %j", (text) => expect(parse(text)).toBeNull());
});
