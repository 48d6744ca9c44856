/** pathOf draws rings as an SVG path; y grows upwards there, downwards here. */
export function pathOf(rings: readonly (readonly (readonly [number, number])[])[]): string {
  return rings
    .map((r) => {
      // A few hundred points are plenty for a drawing on a page.
      const every = Math.max(1, Math.floor(r.length / 400));
      return `${r
        .filter((_, i) => i % every === 0)
        .map(([x, y], i) => `${i === 0 ? "M" : "L"}${x.toFixed(2)} ${(-y).toFixed(2)}`)
        .join("")}Z`;
    })
    .join("");
}
