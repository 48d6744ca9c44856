import { expect, it } from "vitest";
import type { PieceChoices, PieceHead } from "../../api";
import { sentence } from "./sentence";

const p = (o: Partial<PieceChoices>) =>
  ({ name: "crest", count: 26, names: false, chocolate: "dark", ...o }) as PieceChoices;
const head = { numbers: { mass_g: { low: 10, likely: 10.4, high: 11 } } } as PieceHead;
const g = (v: number) => `${v} g`;

it("says what there will be", () => {
  expect(sentence(p({ filling: "pear caramel" }), 0, head, g)).toBe(
    "Twenty-six crests in dark chocolate, 10.4 g each, filled with pear caramel.",
  );
  expect(sentence(p({ count: 1 }), 0, null, g)).toBe("One crest in dark chocolate, solid.");
  expect(sentence(p({ name: "plaque", names: true, count: 2 }), 3, head, g)).toContain(
    "Six plaques (two for each of three\u00a0names)",
  );
});
