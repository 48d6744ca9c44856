// A finding may carry the change that mends it. This words the button and makes the
// edits of it.
import type { Edit, Finding } from "./api";
import { tail } from "./key";

export interface Mending {
  /** What the button will do: Set the edge to 0.8 mm. */
  words: string;
  edits: Edit[];
}

/** bare takes the name of a row off: piece[4].art[1].text (Ysoline). */
export const bare = (where: string) => where.replace(/\s*\(.*\)$/, "");

/** mending gives the change that a finding carries, or null. label names a key in words. */
export function mending(f: Pick<Finding, "remedy">, label: (key: string) => string): Mending | null {
  if (!f.remedy) return null;
  const { key, value } = f.remedy;
  if (value === "") {
    const words = tail(key) === "filling" ? "Make this piece solid" : `Take “${label(key)}” out`;
    return { words, edits: [{ do: "unset", key }] };
  }
  const to: unknown = JSON.parse(value);
  return { words: `Set ${label(key)} to ${to}${unitOf(key)}`, edits: [{ do: "set", key, value: to }] };
}

const unitOf = (key: string) => (key.endsWith("_mm") ? "\u00a0mm" : key.endsWith("_deg") ? "°" : "");
