// Where a design stands, in one sentence.
import type { PieceChoices, PieceHead } from "../../api";
import { capital, count, inWords, many } from "../../words";

/** sentence heads the page: Twenty-six crests in dark chocolate, 10.4 g each, filled with pear caramel. */
export function sentence(p: PieceChoices, rows: number, head: PieceHead | null, mass: (g: number) => string): string {
  const all = p.names ? p.count * rows : p.count;
  const noun = all === 1 ? p.name : many(p.name);
  const each = head ? `, ${p.names ? "about " : ""}${mass(head.numbers.mass_g.likely)} each` : "";
  const inside = p.filling ? `, filled with ${p.filling}` : ", solid";
  const names = p.names && p.count > 1 ? ` (${inWords(p.count)} for each of ${count(rows, "name")})` : "";
  const kind = /chocolate/i.test(p.chocolate) ? p.chocolate : `${p.chocolate} chocolate`;
  return capital(`${inWords(all)} ${noun}${names} in ${kind}${each}${inside}.`);
}
