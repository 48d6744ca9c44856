import { expect, it } from "vitest";
import { bare, mending } from "./remedy";

const label = (key: string) => key;
const of = (key: string, value: string) => mending({ remedy: { key, value } }, label);

it("sets a number", () => {
  expect(of("piece[2].edge_mm", "4.12")).toEqual({
    words: "Set piece[2].edge_mm to 4.12\u00a0mm",
    edits: [{ do: "set", key: "piece[2].edge_mm", value: 4.12 }],
  });
});
it("sets a word", () => {
  expect(of("piece[1].art[2].font", '"slab bold"')?.edits).toEqual([
    { do: "set", key: "piece[1].art[2].font", value: "slab bold" },
  ]);
});
it("takes a key out", () => {
  expect(of("piece[1].filling", "")).toEqual({
    words: "Make this piece solid",
    edits: [{ do: "unset", key: "piece[1].filling" }],
  });
});
it("has no button where nothing is mechanical", () => expect(mending({}, label)).toBeNull());
it("takes the name of a row off", () => expect(bare("piece[4].art[1].text (Ysoline)")).toBe("piece[4].art[1].text"));
