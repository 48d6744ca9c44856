/** toPaper copies a 3D picture to a plain canvas: browsers print those, and not always the other. */
export function toPaper(from: HTMLCanvasElement, to: HTMLCanvasElement) {
  to.width = from.width;
  to.height = from.height;
  to.getContext("2d")?.drawImage(from, 0, 0);
}
