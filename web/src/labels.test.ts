import { expect, it } from "vitest";
import type { JobChoices } from "./api";
import { labelOf, short, wordOf } from "./labels";

const values = { piece: [{ name: "crest" }] } as unknown as JobChoices;

it("names a key beside its number and from afar", () => {
  expect(short("piece[1].draft_deg")).toBe("lean of the sides");
  expect(labelOf("piece[1].draft_deg", values)).toBe("crest, lean of the sides");
  expect(labelOf("piece[1].art[2].draft_deg", values)).toBe("crest, art 2, lean of its walls");
  expect(labelOf("piece[1]", values)).toBe("crest");
  expect(labelOf("master.gap_mm", values)).toBe("rubber between cavities");
});
it("words an allowed value", () => {
  expect(wordOf("piece[3].outline", "file")).toBe("from a drawing");
  expect(wordOf("piece[3].outline", "heart")).toBe("heart");
});
