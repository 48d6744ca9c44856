// What really happened, as the page knows it: fetched once, and again whenever the
// server tells that there is something new. What keep has answered is on the disk.
import type { Entries, Mistake, Photo, Recorded } from "./api";
import * as server from "./server";

/** newId names an entry before it is sent, so that a repeated request writes it once. */
export const newId = () => crypto.randomUUID();

/** A draft of an entry: what the server fills in is missing. */
export type Draft<T> = Omit<T, "seq" | "written_at" | "version" | "struck">;
export type Drafts = { [K in keyof Entries]?: Draft<Entries[K][number]>[] };

class Kept {
  all = $state.raw<Recorded | null>(null);
  /** Why the record cannot be read, or the last entry not be kept. */
  refused = $state.raw<Mistake[]>([]);
  private asked = false;

  /** want fetches the record when it is first looked at. */
  want() {
    if (!this.asked) void this.fetch();
  }

  async fetch() {
    this.asked = true;
    try {
      this.all = await server.record();
      this.refused = [];
    } catch (e) {
      if (e instanceof server.Refused) this.refused = e.mistakes;
    }
  }

  /** renew fetches it again, if anyone has looked at it. */
  renew() {
    if (this.asked) void this.fetch();
  }

  /** keep writes entries, all or none, and tells whether they are on the disk. */
  async keep(drafts: Drafts): Promise<boolean> {
    const named: Record<string, unknown[]> = {};
    for (const [kind, list] of Object.entries(drafts)) named[kind] = list.map((e) => ({ id: newId(), ...e }));
    for (let again = 0; ; again++) {
      try {
        this.all = await server.keep(named as Partial<Entries>);
        this.asked = true;
        this.refused = [];
        return true;
      } catch (e) {
        if (e instanceof server.Refused) {
          this.refused = e.mistakes;
          return false;
        }
        if (again === 3) {
          this.refused = [
            { found: "the workshop does not answer; nothing was kept", do: "see that it runs, then keep it again" },
          ];
          return false;
        }
        await new Promise((r) => setTimeout(r, 400 * (again + 1))); // the same names: it is written once
      }
    }
  }

  /** photo keeps a picture and gives its entry. */
  async photo(file: File, words: string): Promise<Photo | null> {
    try {
      return await server.keepPhoto(file, words);
    } catch (e) {
      this.refused =
        e instanceof server.Refused ? e.mistakes : [{ found: "the photo did not get through; nothing was kept" }];
      return null;
    }
  }

  /** strike strikes an entry out. */
  strike = (entry: string, why: string) => this.keep({ withdrawals: [{ entry, why }] });
}

export const record = new Kept();
