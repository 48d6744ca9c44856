// Brings the shape of the design that is looked at: coarse first, fine after, and last
// what will become of it; a newer wish gives the older request up.
import type { ForecastHead, PieceHead } from "../../api";
import type { Octets } from "../../octets";
import * as server from "../../server";
import { foreseen } from "./foreseen.svelte";

export class Shape {
  octets = $state.raw<Octets<PieceHead> | null>(null);
  /** Why there is none. */
  refused = $state.raw<server.Refused | null>(null);
  late = $state(false);
  /** As it will come out; of an older version while a newer one is worked out. */
  foreseen = $state.raw<Octets<ForecastHead> | null>(null);
  foreseeing = $state(false);
  private abort: AbortController | null = null;
  private timer = 0;

  /** want asks for a design and row; quiet is how long to wait for a pause before the fine shape, ms. */
  async want(design: number, row: number, quiet = 160) {
    this.abort?.abort();
    clearTimeout(this.timer);
    const abort = new AbortController();
    this.abort = abort;
    this.late = true;
    try {
      const coarse = await server.piece(design, row, "coarse", abort.signal);
      this.octets = coarse;
      this.refused = null;
      await new Promise<void>((go) => {
        this.timer = window.setTimeout(go, quiet);
      });
      if (abort.signal.aborted) return;
      this.octets = await server.piece(design, row, "fine", abort.signal);
      this.late = false;
      this.foreseeing = true;
      this.foreseen = await server.forecast(design, row, abort.signal);
      foreseen.keep(this.foreseen.head);
      this.foreseeing = false;
    } catch (e) {
      if (abort.signal.aborted) return;
      if (e instanceof server.Refused && e.status === 409) {
        // The job changed while the shape was made: ask for the new one.
        this.timer = window.setTimeout(() => void this.want(design, row, quiet), 150);
        return;
      }
      this.late = this.foreseeing = false;
      if (e instanceof server.Refused) this.refused = e;
    }
  }

  stop() {
    this.abort?.abort();
    clearTimeout(this.timer);
  }
}
