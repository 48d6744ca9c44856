import { expect, it } from "vitest";
import type { JobFile, PieceChoices } from "../../api";
import { dropped } from "./dropped";

const file = (name: string, kind: JobFile["kind"]): JobFile => ({ name, kind, bytes: 1, used: false, words: "" });
const piece = (art: object[]) => ({ width_mm: 40, depth_mm: 20, art }) as unknown as PieceChoices;

it("adds a drawing where there is none", () => {
  expect(dropped(file("leaf.svg", "vector"), 2, piece([{ text: "a" }]))).toEqual([
    { do: "add", key: "piece[2].art", value: { file: "leaf.svg", width_mm: 11, height_mm: 11, depth_mm: 0.7 } },
  ]);
});
it("puts a drawing in the place of another", () => {
  expect(
    dropped(
      file("leaf.svg", "vector"),
      1,
      piece([
        { text: "a", as: "auto" },
        { file: "b.png", as: "depth" },
      ]),
    ),
  ).toEqual([
    { do: "set", key: "piece[1].art[2].file", value: "leaf.svg" },
    { do: "set", key: "piece[1].art[2].as", value: "auto" },
  ]);
});
it("gives a font to the words, names to the job", () => {
  expect(dropped(file("a.otf", "font"), 1, piece([{ text: "a" }]))[0]?.key).toBe("piece[1].art[1].font");
  expect(dropped(file("a.otf", "font"), 1, piece([]))).toEqual([]);
  expect(dropped(file("g.csv", "names"), 1, piece([]))[0]?.key).toBe("names.file");
});
