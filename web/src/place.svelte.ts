// Where the person is: the stage, and on Pieces the design and the row of the name
// list. Kept in the address behind the #, so that back and forward work.

import { stageOf } from "./key";
import { bare } from "./remedy";

export type StageName = "pieces" | "master" | "plates" | "pour" | "kitchen";
const names: StageName[] = ["pieces", "master", "plates", "pour", "kitchen"];

class Place {
  stage = $state<StageName>("pieces");
  /** From 1. */
  design = $state(1);
  /** From 1. */
  row = $state(1);

  constructor() {
    this.read();
  }

  read() {
    const [stage, design, row] = location.hash.replace(/^#\/?/, "").split("/");
    this.stage = names.find((n) => n === stage) ?? "pieces";
    this.design = Math.max(1, Number(design) || 1);
    this.row = Math.max(1, Number(row) || 1);
  }

  go(stage: StageName, design = this.design, row = this.row) {
    location.hash = stage === "pieces" ? `/pieces/${design}/${row}` : `/${stage}`;
    this.read();
  }

  /** to brings the person to a key's number, opens what hides it, and puts the cursor there. */
  to(where: string) {
    const key = bare(where);
    const design = /^piece\[(\d+)\]/.exec(key)?.[1];
    this.go(stageOf(key), design ? Number(design) : this.design);
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
