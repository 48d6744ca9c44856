// How a picture is divided: one view, or two of the same size that show two things
// from the same side.
export interface Pane {
  /** Upper left corner and size, px. */
  x: number;
  y: number;
  w: number;
  h: number;
}

export type Panes = [Pane, Pane?];

/** panes divides a picture in two along its longer side, or not at all. */
export function panes(w: number, h: number, two: boolean): Panes {
  if (!two) return [{ x: 0, y: 0, w, h }];
  const half = Math.floor(Math.max(w, h) / 2); // whole pixels, so that both are alike
  return w >= h
    ? [
        { x: 0, y: 0, w: half, h },
        { x: w - half, y: 0, w: half, h },
      ]
    : [
        { x: 0, y: 0, w, h: half },
        { x: 0, y: h - half, w, h: half },
      ];
}
