// The pages of the workshop, in the order of the work: the front end's one list of them.
// Each has its folder in stages/ and its component in App.svelte.
import type { JobChoices, Remark, Stage } from "./api";

export type PageName = Stage["stage"];

/** What each page is called; the compiler wants all that the server names. */
export const titles: Record<PageName, string> = {
  pieces: "Pieces",
  master: "Master",
  plates: "Plates",
  pour: "Pour",
  kitchen: "Kitchen",
  box: "Boxes",
  calendar: "Calendar",
  shopping: "Shopping",
  record: "Record",
};
export const pages = Object.keys(titles) as PageName[];

/** On which page the numbers of each part of the job file stand; a new part must say. */
const pageOfPart: Record<keyof JobChoices, Remark["stage"]> = {
  piece: "pieces",
  forecast: "pieces",
  shell: "pieces",
  pitch_mm: "pieces",
  title: "pieces",
  master: "master",
  printer: "plates",
  resin: "plates",
  plate: "plates",
  coupon: "plates",
  silicone: "pour",
  pour: "pour",
  mould: "pour",
  bench: "pour",
  cure_test: "pour",
  kitchen: "kitchen",
  chocolate: "kitchen",
  filling: "kitchen",
  ingredient: "kitchen",
  box: "box",
  boxes: "box",
  label: "box",
  names: "box",
  calendar: "calendar",
  needed: "calendar",
  learn: "calendar",
  shopping: "shopping",
  price: "shopping",
  kit: "shopping",
};

/** pageOf says on which page a key's number stands. */
export function pageOf(where: string): Remark["stage"] {
  const part = /^[a-z_]+/.exec(where)?.[0] ?? "";
  return pageOfPart[part as keyof JobChoices] ?? "pieces";
}
