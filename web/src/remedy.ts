// Some findings end in a change that the page can make itself. This reads them:
// what is not of these forms stays words.
import type { Edit, Remark } from "./api";
import { tail } from "./key";

export interface Remedy {
  /** What the button will do: Set the edge to 0.8 mm. */
  words: string;
  edits: Edit[];
}

/** bare takes the name of a row off: piece[4].art[1].text (Ysoline). */
export const bare = (where: string) => where.replace(/\s*\(.*\)$/, "");

const sibling = (where: string, name: string) => (name.includes(".") ? name : where.replace(/[^.]*$/, name));

/** remedy gives the change that a finding proposes, or null. label names a key in words. */
export function remedy(
  f: Pick<Remark, "where" | "do"> & { key?: string },
  label: (key: string) => string,
): Remedy | null {
  const where = f.key || bare(f.where);
  let m = /(?:^|, or )set ([a-z_.]+) to ([\d.]+)( or (?:less|more))?/.exec(f.do);
  if (m) return setting(sibling(where, m[1]!), Number(m[2]), label);
  m = /^give sides and art (\d+) degrees or more/.exec(f.do);
  if (m && tail(where) === "draft_deg") return setting(where, Number(m[1]), label);
  m = /^([a-z_]+) = ([\d.]+)/.exec(f.do);
  if (m) return setting(sibling(where, m[1]!), Number(m[2]), label);
  if (/^draw them as sunk art/.test(f.do))
    return { words: "Sink this art into the top", edits: [{ do: "set", key: sibling(where, "side"), value: "sunk" }] };
  if (/leave its filling out/.test(f.do) && where.startsWith("piece["))
    return {
      words: "Make this piece solid",
      edits: [{ do: "unset", key: `${/^piece\[\d+\]/.exec(where)![0]}.filling` }],
    };
  return null;
}

function setting(key: string, value: number, label: (key: string) => string): Remedy | null {
  if (!Number.isFinite(value)) return null;
  return { words: `Set ${label(key)} to ${value}${unitOf(key)}`, edits: [{ do: "set", key, value }] };
}

const unitOf = (key: string) => (key.endsWith("_mm") ? "\u00a0mm" : key.endsWith("_deg") ? "°" : "");
