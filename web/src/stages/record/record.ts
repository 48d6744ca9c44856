// What the Record page says of entries.
import type { Recorded } from "../../api";
import { count, list } from "../../words";

/** when words an instant as the clock on the wall has it: 25 Nov 2026, 14:03. */
export function when(iso: string): string {
  const t = new Date(iso);
  if (!iso || Number.isNaN(t.getTime())) return "";
  return t.toLocaleString("en-GB", {
    day: "numeric",
    month: "short",
    year: "numeric",
    hour: "2-digit",
    minute: "2-digit",
  });
}

/** now is the instant as a record takes it. */
export const now = () => new Date().toISOString();

/** today is the day as the wall calendar has it. */
export function today(): string {
  const t = new Date();
  return `${t.getFullYear()}-${String(t.getMonth() + 1).padStart(2, "0")}-${String(t.getDate()).padStart(2, "0")}`;
}

/** keepsUntil is the day until which something keeps that was made now. */
export function keepsUntil(days: number): string {
  const t = new Date(Date.now() + Math.floor(days) * 86_400_000);
  return `${t.getFullYear()}-${String(t.getMonth() + 1).padStart(2, "0")}-${String(t.getDate()).padStart(2, "0")}`;
}

/** standing leaves out what was struck out. */
export const standing = <T extends { struck?: string }>(entries: T[]): T[] => entries.filter((e) => !e.struck);

/** heading says in a sentence what is in a record. */
export function heading(r: Recorded): string {
  const parts = [
    [standing(r.revisions).length, "revision"],
    [standing(r.prints).length, "print"],
    [standing(r.cure_tests).length, "cure test"],
    [standing(r.pours).length, "pour"],
    [standing(r.moulds).length, "mould"],
    [standing(r.boxes).length, "box"],
  ] as const;
  const words = parts
    .filter(([n]) => n > 0)
    .map(([n, what]) => (what === "box" ? count(n, "box", "boxes") : count(n, what)));
  if (words.length === 0) return "Nothing has happened yet: the first build begins the record.";
  const s = `${list(words)} so far.`;
  return s.charAt(0).toUpperCase() + s.slice(1);
}

/** last is each entry that is the latest of its key. */
export function last<T>(entries: T[], key: (e: T) => string): T[] {
  return [...new Map(entries.map((e) => [key(e), e])).values()];
}

/** percent words good of tried. */
export const percent = (good: number, tried: number) => (tried > 0 ? `${Math.round((100 * good) / tried)}\u00a0%` : "");

/** lots reads "dark chocolate L12 500" a line each: what, lot, grams. The lot is the last word, or the last but a number. */
export function lots(text: string): { what: string; lot: string; mass_g?: number }[] {
  return text.split("\n").flatMap((line) => {
    const words = line.trim().split(/\s+/);
    const mass =
      words.length > 2 && /^\d+([.,]\d+)?$/.test(words.at(-1)!) ? Number(words.pop()!.replace(",", ".")) : undefined;
    const lot = words.pop();
    if (!lot || words.length === 0) return [];
    return [{ what: words.join(" "), lot, ...(mass === undefined ? {} : { mass_g: mass }) }];
  });
}
