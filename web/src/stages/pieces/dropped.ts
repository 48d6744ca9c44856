// What a design does with a file that is dropped on it.
import type { Edit, JobFile, PieceChoices } from "../../api";

/** dropped gives the edits: art is replaced where the design has one of a file, else added; a font goes to its words; a list of names to the job. */
export function dropped(file: JobFile, design: number, piece: PieceChoices): Edit[] {
  const key = `piece[${design}]`;
  const arts = piece.art ?? [];
  switch (file.kind) {
    case "font": {
      const i = arts.findIndex((a) => a.text !== undefined);
      return i < 0 ? [] : [{ do: "set", key: `${key}.art[${i + 1}].font`, value: file.name }];
    }
    case "names":
      return [{ do: "set", key: "names.file", value: file.name }];
    case "vector":
    case "picture":
    case "mesh": {
      const i = arts.findIndex((a) => a.file !== undefined);
      if (i >= 0) {
        const edits: Edit[] = [{ do: "set", key: `${key}.art[${i + 1}].file`, value: file.name }];
        if (arts[i]!.as !== "auto") edits.push({ do: "set", key: `${key}.art[${i + 1}].as`, value: "auto" });
        return edits;
      }
      // Small enough for what sides and edge leave of the top, however the drawing is proportioned.
      const size = Math.round(0.55 * Math.min(piece.width_mm, piece.depth_mm ?? piece.width_mm));
      const depth = file.kind === "vector" ? 0.7 : 1.2;
      return [
        { do: "add", key: `${key}.art`, value: { file: file.name, width_mm: size, height_mm: size, depth_mm: depth } },
      ];
    }
  }
}
