// How a clock that was set is told from time that passed. The wall clock can be set and
// jumps; the page's own count of ms since it was opened cannot, but stands still while
// some devices sleep.

/** One look at both clocks, ms. */
export interface Look {
  wall: number;
  own: number;
}

/** slack is how far two looks may differ by: clocks are nudged by the network. */
export const slack = 3000;

/** jumped is by how much the wall clock ran otherwise than time, in ms; 0 for less than the slack. */
export function jumped(was: Look, is: Look): number {
  const ms = is.wall - was.wall - (is.own - was.own);
  return Math.abs(ms) < slack ? 0 : ms;
}

/** offBy is how far this device's clock is behind the workshop's, by an answer whose head says a whole second; 0 when they agree. */
export function offBy(head: number, sent: number, got: number): number {
  const least = head - got;
  const most = head + 1000 - sent;
  if (least - slack <= 0 && most + slack >= 0) return 0;
  return Math.round((least + most) / 2);
}
