// Where the person is: the stage, and on Pieces the design and the row of the name
// list. Kept in the address behind the #, so that back and forward work.

import type { Finding } from "./api";
import { job } from "./job.svelte";
import { type PageName, pageOf, pages } from "./pages";
import { bare } from "./remedy";

/** A place on the piece that is looked at, mm from its middle. */
export interface Spot {
  x: number;
  y: number;
  words: string;
  /** From 1. */
  design: number;
}

class Place {
  stage = $state<PageName>("pieces");
  /** From 1. */
  design = $state(1);
  /** From 1. */
  row = $state(1);
  /** The place on a chocolate that was asked for; each asking is a new one. */
  spot = $state.raw<Spot | null>(null);

  constructor() {
    this.read();
  }

  read() {
    const [stage, design, row] = location.hash.replace(/^#\/?/, "").split("/");
    this.stage = pages.find((n) => n === stage) ?? "pieces";
    this.design = Math.max(1, Number(design) || 1);
    this.row = Math.max(1, Number(row) || 1);
  }

  go(stage: PageName, design = this.design, row = this.row) {
    location.hash = stage === "pieces" ? `/pieces/${design}/${row}` : `/${stage}`;
    this.read();
  }

  /** look brings the person to a finding's place on its piece. */
  look(f: Pick<Finding, "at" | "what">) {
    if (!f.at) return;
    const whose = f.at.piece;
    const design = (job.values?.piece ?? []).findIndex((p) => p.name === whose || whose.startsWith(`${p.name}: `));
    const name = job.values?.piece?.[design]?.name ?? "";
    const row = (job.state?.rows ?? []).findIndex((r) => r.label === whose.slice(name.length + 2));
    if (design >= 0) this.go("pieces", design + 1, row >= 0 ? row + 1 : this.row);
    this.spot = { x: f.at.x_mm, y: f.at.y_mm, words: f.what, design: design + 1 };
  }

  /** to brings the person to a key's number, opens what hides it, and puts the cursor there. */
  to(where: string) {
    const key = bare(where);
    const design = /^piece\[(\d+)\]/.exec(key)?.[1];
    this.go(pageOf(key), design ? Number(design) : this.design);
    const id = `n-${key.replace(/[^a-z0-9]+/gi, "-")}`;
    // The page of that stage must stand first.
    setTimeout(() => {
      const at = document.getElementById(id);
      for (let e: HTMLElement | null = at; e; e = e.parentElement) if (e instanceof HTMLDetailsElement) e.open = true;
      at?.scrollIntoView({ block: "center" });
      at?.focus();
    }, 60);
  }
}

export const place = new Place();
