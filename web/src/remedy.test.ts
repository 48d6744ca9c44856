import { expect, it } from "vitest";
import { bare, remedy } from "./remedy";

const label = (key: string) => key;
const of = (where: string, what: string) => remedy({ where, do: what }, label);

it("sets a neighbour of the key", () => {
  expect(of("piece[2].edge_mm", "set edge_mm to 4.12 or less, or make the piece higher")?.edits).toEqual([
    { do: "set", key: "piece[2].edge_mm", value: 4.12 },
  ]);
  expect(of("piece[2].art[1].text (Ysoline)", "tracking = 0, or a font whose letters do not join")?.edits).toEqual([
    { do: "set", key: "piece[2].art[1].tracking", value: 0 },
  ]);
});
it("leans upright walls", () => {
  const r = of("piece[1].art[2].draft_deg", "give sides and art 3 degrees or more");
  expect(r?.edits[0]?.value).toBe(3);
  expect(r?.words).toBe("Set piece[1].art[2].draft_deg to 3°");
});
it("leaves the rest in words", () => {
  expect(of("piece[1].file", "crop the picture")).toBeNull();
  expect(of("", "")).toBeNull();
});
it("takes the name of a row off", () => expect(bare("piece[4].art[1].text (Ysoline)")).toBe("piece[4].art[1].text"));
