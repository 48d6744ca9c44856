// The room that the chocolate reflects: dim warm walls, a bright ceiling, paper below,
// and one tall window with its bars on the side where heights.ts has it too.
import {
  BackSide,
  type Color,
  Mesh,
  MeshBasicMaterial,
  PlaneGeometry,
  PMREMGenerator,
  Scene,
  SphereGeometry,
  type Texture,
  type WebGLRenderer,
} from "three";
import { window3d } from "./heights";
import { lab } from "./matter";

/** room makes the environment; night is the same room, with a darker table. */
export function room(renderer: WebGLRenderer, night: boolean): Texture {
  const scene = new Scene();
  const panel = (w: number, h: number, x: number, y: number, z: number, colour: Color, bright: number) => {
    const m = new Mesh(
      new PlaneGeometry(w, h),
      new MeshBasicMaterial({ color: colour.multiplyScalar(bright), side: 2 }),
    );
    m.position.set(x, y, z);
    m.up.set(0, 0, 1);
    m.lookAt(0, 0, 0);
    scene.add(m);
  };
  const walls = new Mesh(
    new SphereGeometry(30, 24, 16),
    new MeshBasicMaterial({ color: lab(62, 3, 10).multiplyScalar(0.62), side: BackSide }),
  );
  scene.add(walls);
  panel(26, 26, 0, 0, 16, lab(90, 1, 6), 0.9); // ceiling
  panel(34, 34, 0, 0, -9, lab(night ? 32 : 90, 5, 10), night ? 0.35 : 0.8); // table
  const d = 12;
  const across = Math.hypot(window3d.x, window3d.y);
  const [ax, ay] = [window3d.x / across, window3d.y / across];
  for (const side of [-1, 1])
    for (const row of [0, 1])
      panel(3.9, 4.3, d * ax - ay * side * 2.15, d * ay + ax * side * 2.15, 6 + row * 4.8, lab(97, -1, -3), 5.4);
  panel(12, 9, 11, -7, 7, lab(88, 4, 14), 1.9); // a pale wall opposite
  panel(16, 6, -5, -14, 4, lab(84, 4, 14), 1.5); // and one behind you
  const maker = new PMREMGenerator(renderer);
  const made = maker.fromScene(scene, 0.02, 0.1, 60);
  maker.dispose();
  scene.traverse((o) => {
    if (o instanceof Mesh) {
      o.geometry.dispose();
      (o.material as MeshBasicMaterial).dispose();
    }
  });
  return made.texture;
}
