// Brings one design's chilling and its shape; a newer wish gives the older one up.
import type { Chilling, PieceHead } from "../../api";
import type { Octets } from "../../octets";
import * as server from "../../server";

export class Fridge {
  chilling = $state.raw<Chilling | null>(null);
  piece = $state.raw<Octets<PieceHead> | null>(null);
  /** Why there is none. */
  refused = $state.raw<server.Refused | null>(null);
  late = $state(false);
  private abort: AbortController | null = null;
  private timer = 0;

  async want(design: number) {
    this.stop();
    const abort = new AbortController();
    this.abort = abort;
    this.late = true;
    try {
      const [piece, chilling] = await Promise.all([
        server.piece(design, 1, "coarse", abort.signal),
        server.chill(design, abort.signal),
      ]);
      this.piece = piece;
      this.chilling = chilling;
      this.refused = null;
      this.late = false;
    } catch (e) {
      if (abort.signal.aborted) return;
      if (e instanceof server.Refused && e.status === 409) {
        this.timer = window.setTimeout(() => void this.want(design), 150);
        return;
      }
      this.late = false;
      if (e instanceof server.Refused) {
        this.refused = e;
        this.chilling = null;
      }
    }
  }

  stop() {
    this.abort?.abort();
    clearTimeout(this.timer);
  }
}
