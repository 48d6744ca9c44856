// Turns the view around what lies in the middle: by hand, by keys, never by itself.
import type { PerspectiveCamera } from "three";

const turnPerPx = 0.008;
const lowest = 0.12;
const highest = 1.5;

export class Turntable {
  /** Radians: around, from the front; and up, from level. */
  around = 0.36;
  up = 0.7;
  /** Distance as a multiple of the one that shows all. */
  near = 1;
  /** What the camera looks at, mm. */
  at: [number, number, number | null] = [0, 0, null];
  private spin = 0;
  private fingers = new Map<number, { x: number; y: number }>();
  private pinch = 0;
  private frame = 0;

  constructor(
    private readonly element: HTMLElement,
    private readonly changed: () => void,
    private readonly still: () => boolean,
  ) {
    element.addEventListener("pointerdown", this.down);
    element.addEventListener("pointermove", this.move);
    element.addEventListener("pointerup", this.lift);
    element.addEventListener("pointercancel", this.lift);
    element.addEventListener("wheel", this.wheel, { passive: false });
    element.addEventListener("keydown", this.key);
  }

  dispose() {
    cancelAnimationFrame(this.frame);
    const e = this.element;
    e.removeEventListener("pointerdown", this.down);
    e.removeEventListener("pointermove", this.move);
    e.removeEventListener("pointerup", this.lift);
    e.removeEventListener("pointercancel", this.lift);
    e.removeEventListener("wheel", this.wheel);
    e.removeEventListener("keydown", this.key);
  }

  aim(camera: PerspectiveCamera, distance: number, z: number) {
    const d = distance * this.near;
    const c = Math.cos(this.up);
    const [x, y] = this.at;
    const h = this.at[2] ?? z;
    camera.position.set(
      x + d * c * Math.sin(this.around),
      y - d * c * Math.cos(this.around),
      h + d * Math.sin(this.up),
    );
    camera.up.set(0, 0, 1);
    camera.lookAt(x, y, h);
  }

  /** fly goes to a place, mm, and near to it; at once where nothing may move. */
  fly(x: number, y: number, z: number, near: number) {
    cancelAnimationFrame(this.frame);
    this.spin = 0;
    const from = [...this.at.map((v) => v ?? 0), this.near, this.around, this.up];
    const to = [x, y, z, near, Math.min(Math.max(this.around, -0.5), 0.5), 0.95];
    const began = performance.now();
    const step = () => {
      const t = this.still() ? 1 : Math.min((performance.now() - began) / 700, 1);
      const s = t * t * (3 - 2 * t);
      const v = from.map((a, i) => a + (to[i]! - a) * s);
      this.at = [v[0]!, v[1]!, v[2]!];
      [this.near, this.around, this.up] = [v[3]!, v[4]!, v[5]!];
      this.changed();
      if (t < 1) this.frame = requestAnimationFrame(step);
    };
    step();
  }

  turn(around: number, up: number) {
    this.around += around;
    this.up = Math.min(Math.max(this.up + up, lowest), highest);
    this.changed();
  }

  to(around: number, up: number) {
    cancelAnimationFrame(this.frame);
    this.spin = 0;
    this.at = [0, 0, null];
    this.near = 1;
    this.around = around;
    this.up = up;
    this.changed();
  }

  private zoom(factor: number) {
    this.near = Math.min(Math.max(this.near * factor, 0.12), 2);
    this.changed();
  }

  private down = (e: PointerEvent) => {
    this.spin = 0;
    this.fingers.set(e.pointerId, { x: e.clientX, y: e.clientY });
    this.element.setPointerCapture(e.pointerId);
    this.pinch = this.apart();
  };

  private apart() {
    const [a, b] = [...this.fingers.values()];
    return a && b ? Math.hypot(a.x - b.x, a.y - b.y) : 0;
  }

  private move = (e: PointerEvent) => {
    const was = this.fingers.get(e.pointerId);
    if (!was) return;
    this.fingers.set(e.pointerId, { x: e.clientX, y: e.clientY });
    if (this.fingers.size > 1) {
      const now = this.apart();
      if (this.pinch > 0 && now > 0) this.zoom(this.pinch / now);
      this.pinch = now;
      return;
    }
    this.spin = -(e.clientX - was.x) * turnPerPx;
    this.turn(this.spin, (e.clientY - was.y) * turnPerPx);
  };

  private lift = (e: PointerEvent) => {
    if (!this.fingers.delete(e.pointerId) || this.fingers.size > 0) return;
    if (Math.abs(this.spin) > 0.012 && !this.still()) this.coast();
  };

  /** coast lets a turn run out slowly, as a turntable does. */
  private coast() {
    cancelAnimationFrame(this.frame);
    const step = () => {
      this.spin *= 0.95;
      if (Math.abs(this.spin) < 0.0004 || this.fingers.size > 0) return;
      this.turn(this.spin, 0);
      this.frame = requestAnimationFrame(step);
    };
    this.frame = requestAnimationFrame(step);
  }

  private wheel = (e: WheelEvent) => {
    if (!e.ctrlKey && document.activeElement !== this.element) return; // the page scrolls
    e.preventDefault();
    this.zoom(Math.exp(e.deltaY * 0.001));
  };

  private key = (e: KeyboardEvent) => {
    const turns: Record<string, [number, number]> = {
      ArrowLeft: [-0.1, 0],
      ArrowRight: [0.1, 0],
      ArrowUp: [0, 0.08],
      ArrowDown: [0, -0.08],
    };
    const t = turns[e.key];
    if (t) this.turn(...t);
    else if (e.key === "+" || e.key === "=") this.zoom(0.9);
    else if (e.key === "-") this.zoom(1.1);
    else if (e.key === "Home") this.to(0.36, 0.7);
    else return;
    e.preventDefault();
  };
}
