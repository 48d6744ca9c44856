// What is said of a forecast, and the colours of its maps. The view's shader has the
// same colours, which must not be loaded for a legend; a test compares them.
import type { PlanMark } from "../../api";

export const differenceColours = ["#1f3f63", "#8aa2bd", "#efe9dc", "#c9a071", "#6b3410"];
export const stepsColours = ["#f3ede0", "#cdbfae", "#9a6a44", "#5a341c"];

/** roundScale is the end of a scale that holds a number: 1, 2 or 5 and zeros. */
export function roundScale(v: number): number {
  if (!(v > 0)) return 0.01;
  const ten = 10 ** Math.floor(Math.log10(v));
  return ten * [1, 2, 5, 10].find((k) => k * ten >= v * 0.999)!;
}

/** hard is the marks that need a decision: those that will not come out and are more than specks. */
export const hard = (marks: PlanMark[]) => marks.filter((m) => m.fate !== "survives" && !m.speck);

/** fateOf words what becomes of a mark. */
export function fateOf(m: PlanMark): string {
  const by = m.cause ? causes[m.cause] : "";
  switch (m.fate) {
    case "merges":
      return "runs together with its neighbour";
    case "fills":
      return `closes${by}`;
    case "breaks":
      return `breaks or stays away${by}`;
  }
  return "comes out";
}

const causes: Record<string, string> = {
  printer: ": too fine for the print",
  resin: ": too fine a wall of resin",
  rubber: ": too thin a fin of rubber",
  chocolate: ": too fine for chocolate",
};

/** verdict says in a sentence what becomes of all marks. */
export function verdict(marks: PlanMark[], more: number, inWords: (n: number) => string): string {
  const all = marks.length + more;
  if (all === 0) return "There is no art to lose: the body comes out as drawn.";
  const bad = hard(marks).length;
  const specks = marks.filter((m) => m.fate !== "survives" && m.speck).length;
  const dust =
    specks > 0
      ? ` ${specks === 1 ? "One sliver" : `${capital(inWords(specks))} slivers`} too fine to print will be missing, and not be missed.`
      : "";
  const marksOf = all === 1 ? "The one mark of the art comes" : `All ${inWords(all)} marks of the art come`;
  if (bad === 0) return `${marksOf} out.${dust}`;
  return `Of ${inWords(all)} mark${all === 1 ? "" : "s"} ${inWords(all - bad - specks)} come${all - bad - specks === 1 ? "s" : ""} out; ${inWords(bad)} will not, as it stands.${dust}`;
}

const capital = (s: string) => s.charAt(0).toUpperCase() + s.slice(1);
