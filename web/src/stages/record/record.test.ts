import { describe, expect, it } from "vitest";
import { last, lots, percent, standing } from "./record";

describe("record", () => {
  it("reads lots as they are written on a slip", () => {
    expect(lots("dark chocolate L12 500\ncream C9\n\nodd")).toEqual([
      { what: "dark chocolate", lot: "L12", mass_g: 500 },
      { what: "cream", lot: "C9" },
    ]);
    expect(lots("hazelnuts 77")).toEqual([{ what: "hazelnuts", lot: "77" }]);
    expect(lots("praline P 1,5")).toEqual([{ what: "praline", lot: "P", mass_g: 1.5 }]);
  });
  it("counts the last word on a part", () => {
    const said = [
      { name: "tile 1", outcome: "failed" },
      { name: "tile 2", outcome: "good" },
      { name: "tile 1", outcome: "good" },
    ];
    expect(last(said, (p) => p.name).map((p) => p.outcome)).toEqual(["good", "good"]);
  });
  it("leaves out what was struck out, and divides by nothing", () => {
    expect(standing([{ id: "a" }, { id: "b", struck: "a mistake" }])).toHaveLength(1);
    expect(percent(1, 3)).toBe("33\u00a0%");
    expect(percent(0, 0)).toBe("");
  });
});
