import { describe, expect, it } from "vitest";
import { readings, surely, worded } from "./coupons";

describe("readings", () => {
  it("reads one or several, with units, points and commas", () => {
    expect(readings("39.86")).toEqual([39.86]);
    expect(readings("39.86 39,88 mm")).toEqual([39.86, 39.88]);
    expect(readings("39.86; 1 in")).toEqual([39.86, 25.4]);
    expect(readings("250um 0.3")).toEqual([0.25, 0.3]);
    expect(readings("  ")).toEqual([]);
  });
  it("refuses what is no length", () => {
    for (const bad of ["x", "-3", "0", "400", "39.86 mm x", "1e9"]) expect(readings(bad)).toBeNull();
  });
});

describe("what was learned", () => {
  const size = {
    key: "resin.shrinkage",
    what: "how much smaller",
    unit: "share" as const,
    value: { low: 0.0046, likely: 0.0049, high: 0.0051 },
    std_err: 0.0001,
    degrees_of_freedom: 22,
  };
  it("is worded with its interval", () => {
    expect(worded(size, 0.0049)).toBe("0.49\u00a0%");
    expect(surely(size)).toBe("in 95 of 100 cases 0.46\u00a0% to 0.51\u00a0%");
    expect(surely({ ...size, what: "finest gap", unit: "mm", degrees_of_freedom: 0 })).toBe("");
  });
});
