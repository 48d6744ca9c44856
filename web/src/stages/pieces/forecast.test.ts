import { expect, it } from "vitest";
import type { PlanMark } from "../../api";
import { differenceScale, stepsScale } from "../../view3d/surface";
import { inWords } from "../../words";
import { differenceColours, fateOf, hard, roundScale, stepsColours, verdict } from "./forecast";

it("legends and shader show the same scales", () => {
  expect([differenceColours, stepsColours]).toEqual([differenceScale, stepsScale]);
});
it("ends scales on round numbers", () => {
  expect([0.013, 0.05, 0.0501, 0.2, 0.9, 0].map(roundScale).map((v) => Number(v.toPrecision(6)))).toEqual([
    0.02, 0.05, 0.1, 0.2, 1, 0.01,
  ]);
});

const mark = (fate: string, speck = false) => ({ fate, speck, cause: "rubber" }) as PlanMark;
it("lists what needs a decision, and counts the rest", () => {
  const marks = [mark("survives"), mark("fills"), mark("breaks", true), mark("survives")];
  expect(hard(marks)).toEqual([marks[1]]);
  expect(verdict(marks, 0, inWords)).toBe(
    "Of four marks two come out; one will not, as it stands. One sliver too fine to print will be missing, and not be missed.",
  );
  expect(verdict([mark("survives")], 0, inWords)).toBe("The one mark of the art comes out.");
  expect(verdict([mark("survives"), mark("survives")], 5, inWords)).toBe("All seven marks of the art come out.");
  expect(verdict([], 0, inWords)).toMatch(/^There is no art/);
});
it("says what becomes of a mark and why", () => {
  expect(fateOf(mark("fills"))).toBe("closes: too thin a fin of rubber");
  expect(fateOf(mark("survives"))).toBe("comes out");
});
