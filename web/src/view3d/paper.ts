/** View is what is drawn in the round. */
interface View {
  /** ask wants a new picture before long. */
  ask(): void;
  /** draw makes it at once. */
  draw(): void;
}

/**
 * keep draws a view anew when its canvas changes its size, and copies it to paper before the
 * page is printed: browsers print a plain canvas, and not always the other. It gives what ends that.
 */
export function keep(canvas: HTMLCanvasElement, paper: HTMLCanvasElement, view: () => View | null): () => void {
  const sized = new ResizeObserver(() => view()?.ask());
  sized.observe(canvas);
  const print = () => {
    view()?.draw();
    paper.width = canvas.width;
    paper.height = canvas.height;
    paper.getContext("2d")?.drawImage(canvas, 0, 0);
  };
  addEventListener("beforeprint", print);
  return () => {
    sized.disconnect();
    removeEventListener("beforeprint", print);
  };
}
