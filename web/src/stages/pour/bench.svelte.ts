// What happens at the bench while rubber is poured: when each cup was begun and poured,
// and what was really weighed. It is kept on this device as it happens, so that a
// reload and a shut lid change nothing; only instants are kept, never ticks.
import type { PlanWeighed } from "../../api";
import * as server from "../../server";
import type { Instants } from "./phase";

export interface CupKept extends Instants {
  a?: number;
  b?: number;
}

interface Kept {
  /** The plan's revision when the first thing was entered. */
  revision: string;
  cups: Record<number, CupKept>;
  /** When the rubber of the cure test's pads was mixed. */
  pads?: number;
}

const none = (): Kept => ({ revision: "", cups: {} });

class Bench {
  kept = $state<Kept>(none());
  /** What the weighed masses change; null: nothing weighed, or not yet known. */
  change = $state.raw<PlanWeighed | null>(null);
  /** Why the last weighed mass was refused. */
  wrong = $state("");
  private key = "";
  private late: ReturnType<typeof setTimeout> | undefined;
  private asked = 0;

  begun = $derived(Object.values(this.kept.cups).some((c) => c.began || c.a || c.b) || Boolean(this.kept.pads));

  constructor() {
    addEventListener("storage", (e) => {
      if (e.key === this.key) this.load();
    });
  }

  /** open takes out what is kept for a job; nothing happens when it is open already. */
  open(folder: string) {
    const key = `mouldwright.pour.${folder}`;
    if (key === this.key) return;
    this.key = key;
    this.load();
  }

  private load() {
    this.kept = none();
    try {
      const got = JSON.parse(localStorage.getItem(this.key) ?? "null") as Kept | null;
      if (got && typeof got.cups === "object") this.kept = got;
    } catch {
      // what cannot be read is as good as nothing
    }
    this.weigh();
  }

  cup(number: number): CupKept {
    return this.kept.cups[number] ?? {};
  }

  /** note keeps what happened with a cup; undefined takes it back. */
  note(number: number, revision: string, what: { [K in keyof CupKept]?: CupKept[K] | undefined }) {
    const next = { ...this.cup(number), ...what } as CupKept;
    for (const k of Object.keys(next) as (keyof CupKept)[]) if (next[k] === undefined) delete next[k];
    this.kept = { ...this.kept, revision: this.kept.revision || revision, cups: { ...this.kept.cups, [number]: next } };
    this.save();
    if ("a" in what || "b" in what) this.weigh();
  }

  notePads(at: number | undefined, revision: string) {
    const { pads: _, ...rest } = this.kept;
    this.kept = { ...rest, revision: this.kept.revision || revision, ...(at ? { pads: at } : {}) };
    this.save();
  }

  /** clear begins a new pour. */
  clear() {
    this.kept = none();
    this.change = null;
    this.wrong = "";
    this.save();
  }

  private save() {
    try {
      localStorage.setItem(this.key, JSON.stringify(this.kept));
    } catch {
      // storage may be shut off; the page still works until it is left
    }
  }

  /** weigh asks what the weighed masses change, a moment after the last of them. */
  weigh() {
    clearTimeout(this.late);
    this.late = setTimeout(() => void this.ask(), 120);
  }

  private async ask() {
    const cups = Object.entries(this.kept.cups)
      .map(([n, c]) => ({ cup: Number(n), part_a_g: c.a ?? 0, part_b_g: c.b ?? 0 }))
      .filter((c) => c.part_a_g > 0 || c.part_b_g > 0);
    const mine = ++this.asked;
    try {
      const got = cups.length ? await server.weighed({ cups }) : null;
      if (mine !== this.asked) return;
      this.change = got;
      this.wrong = "";
    } catch (e) {
      if (mine !== this.asked) return;
      this.change = null;
      this.wrong =
        e instanceof server.Refused
          ? e.mistakes
              .map((m) => [m.found, m.allowed && `allowed: ${m.allowed}`, m.do].filter(Boolean).join("; "))
              .join(". ")
          : "";
      if (!this.wrong) this.late = setTimeout(() => void this.ask(), 1000); // the job changed meanwhile
    }
  }
}

export const bench = new Bench();
