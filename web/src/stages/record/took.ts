// Steps of the work that can be timed, and what the plan says of them.
import type { Plan, Took } from "../../api";

export interface Timed {
  step: Took["step"];
  words: string;
  /** What they are counted by; none: the time of one is told against what was planned. */
  per?: string;
}

export const timed: Timed[] = [
  { step: "wash", words: "washing and looking over", per: "plates" },
  { step: "assemble", words: "assembling the master", per: "parts" },
  { step: "coat", words: "coating", per: "trays" },
  { step: "cure", words: "until the rubber was really firm" },
  { step: "demould", words: "demoulding and trimming", per: "moulds" },
  { step: "clean", words: "washing the moulds", per: "moulds" },
  { step: "filling", words: "making fillings", per: "fillings" },
  { step: "temper", words: "melting, tempering, laying out", per: "sessions" },
  { step: "shells", words: "wiping, filling, tipping the shells", per: "pieces" },
  { step: "chill shells", words: "shells in the fridge until firm" },
  { step: "fill", words: "putting in the filling", per: "pieces" },
  { step: "cap", words: "capping and scraping", per: "pieces" },
  { step: "chill caps", words: "caps in the fridge until they let go" },
  { step: "chill", words: "solid pieces in the fridge until they let go" },
  { step: "release", words: "releasing", per: "pieces" },
  { step: "box", words: "filling, labelling, closing", per: "boxes" },
];

/** planned is what the plan had reckoned in minutes, before it learned; 0: nothing. */
export function planned(step: string, plan: Plan): number {
  const slowest = (list: (number | undefined)[]) => Math.max(0, ...list.map((v) => v ?? 0));
  const pieces = plan.kitchen.pieces;
  const now: Record<string, number> = {
    cure: plan.pour.cure_h.likely * 60,
    "chill shells": slowest(pieces.map((p) => p.shell_set_min?.likely)),
    "chill caps": slowest(pieces.map((p) => p.cap_set_min?.likely)),
    chill: slowest(pieces.map((p) => p.solid_set_min?.likely)),
  };
  const learned = plan.learned?.find((l) => l.step === step && l.used)?.factor.likely ?? 1;
  return (now[step] ?? 0) / learned;
}
