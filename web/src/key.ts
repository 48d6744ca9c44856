// Keys of the job file: piece[2].art[1].depth_mm. Items count from 1.
import type { JobChoices, Rule } from "./api";

/** steps parts a key into names and places from 0; quoted names stay whole. */
export function steps(key: string): (string | number)[] {
  const out: (string | number)[] = [];
  const pattern = /"((?:[^"\\]|\\.)*)"|([^.[\]"]+)|\[(\d+)\]/g;
  for (const m of key.matchAll(pattern)) {
    if (m[3] !== undefined) out.push(Number(m[3]) - 1);
    else out.push(m[1] !== undefined ? m[1].replace(/\\(.)/g, "$1") : m[2]!);
  }
  return out;
}

/** read gives the value at a key, undefined when it is not there. */
export function read(values: JobChoices | null, key: string): unknown {
  let at: unknown = values;
  for (const s of steps(key)) {
    if (at === null || typeof at !== "object") return undefined;
    at = (at as Record<string | number, unknown>)[s];
  }
  return at;
}

/** named quotes a person's own name where TOML asks for it. */
export const named = (name: string) => (/^[A-Za-z0-9_-]+$/.test(name) ? name : `"${name.replace(/(["\\])/g, "\\$1")}"`);

/** general is the rule's form of a key: piece[2].art[1].text is piece[].art[].text, filling.caramel.x is filling.*.x. */
export function general(key: string): string {
  let out = "";
  steps(key).forEach((s, i, all) => {
    if (typeof s === "number") out += "[]";
    else if (i === 1 && (all[0] === "chocolate" || all[0] === "filling")) out += ".*";
    else out += (out && ".") + s;
  });
  return out;
}

/** tail is the last name of a key. */
export function tail(key: string): string {
  const all = steps(key);
  return String(all[all.length - 1] ?? "");
}

export type RuleBook = Map<string, Rule>;
