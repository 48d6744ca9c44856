// The master in the round: base, pieces, frame, and the rubber as it rises. Pieces
// that are alike are one mesh drawn many times.
import {
  BoxGeometry,
  BufferAttribute,
  BufferGeometry,
  DirectionalLight,
  InstancedMesh,
  Matrix4,
  Mesh,
  MeshPhysicalMaterial,
  MeshStandardMaterial,
  NeutralToneMapping,
  PerspectiveCamera,
  Scene,
  WebGLRenderer,
} from "three";
import type { ItemHead, OneTray } from "../api";
import type { Octets } from "../octets";
import { lab } from "./matter";
import { room } from "./room";
import { Turntable } from "./turntable";

const fov = 20;

export class TrayView {
  private renderer: WebGLRenderer;
  private scene = new Scene();
  private camera = new PerspectiveCamera(fov, 1, 5, 4000);
  private table: Turntable;
  private frame = 0;
  private tray: OneTray | null = null;
  private parts: (Mesh | InstancedMesh)[] = [];
  private resin = new MeshStandardMaterial({ color: lab(64, 0, 3), roughness: 0.7 });
  private panel = new MeshStandardMaterial({
    color: lab(58, 1, 4),
    roughness: 0.75,
    transparent: true,
    opacity: 0.32,
    depthWrite: false,
  });
  private rubber = new MeshPhysicalMaterial({
    color: lab(76, -4, -9),
    roughness: 0.35,
    transparent: true,
    opacity: 0.62,
  });
  private filled = new Mesh(new BoxGeometry(1, 1, 1), this.rubber);
  private level = 0;
  drawn: () => void = () => {};

  constructor(
    private readonly canvas: HTMLCanvasElement,
    still: () => boolean,
  ) {
    this.renderer = new WebGLRenderer({ canvas, antialias: true, alpha: true, preserveDrawingBuffer: true });
    this.renderer.toneMapping = NeutralToneMapping;
    const lamp = new DirectionalLight("#fff6ea", 2.2);
    lamp.position.set(-0.62, 0.5, 0.8);
    this.scene.add(lamp, this.filled);
    this.filled.renderOrder = 2;
    this.table = new Turntable(canvas, () => this.ask(), still);
    this.table.up = 0.75;
    this.light(false);
  }

  dispose() {
    cancelAnimationFrame(this.frame);
    this.table.dispose();
    this.clear();
    for (const m of [this.resin, this.panel, this.rubber]) m.dispose();
    this.filled.geometry.dispose();
    this.scene.environment?.dispose();
    this.renderer.dispose();
  }

  light(night: boolean) {
    this.scene.environment?.dispose();
    this.scene.environment = room(this.renderer, night);
    this.scene.environmentIntensity = 0.7;
    this.ask();
  }

  private clear() {
    for (const p of this.parts) {
      this.scene.remove(p);
      p.geometry.dispose();
      if (p instanceof InstancedMesh) p.dispose();
    }
    this.parts = [];
  }

  /** show stands a tray up; shapes are the surfaces of the items on it, by their index. */
  show(tray: OneTray, shapes: Map<number, Octets<ItemHead>>) {
    this.clear();
    this.tray = tray;
    const [w, d] = [tray.width_mm, tray.depth_mm];
    this.box(w, d, tray.base_mm, 0, 0, -tray.base_mm, this.resin);
    const t = tray.panel_mm;
    const high = tray.frame_mm;
    for (const [pw, pd, x, y] of [
      [w + 2 * t, t, 0, -(d + t) / 2],
      [w + 2 * t, t, 0, (d + t) / 2],
      [t, d, -(w + t) / 2, 0],
      [t, d, (w + t) / 2, 0],
    ] as const)
      this.box(pw, pd, high, x, y, -tray.base_mm, this.panel).renderOrder = 3;
    for (const [index, o] of shapes) this.items(tray, index, o);
    this.setLevel(this.level);
    this.ask();
  }

  private items(tray: OneTray, index: number, o: Octets<ItemHead>) {
    const places = tray.placed.filter((p) => p.item === index);
    if (places.length === 0) return;
    const g = new BufferGeometry();
    g.setAttribute("position", new BufferAttribute(o.float32("positions"), 3));
    g.setIndex(new BufferAttribute(o.uint32("triangles"), 1));
    g.computeVertexNormals();
    const m = new InstancedMesh(g, this.resin, places.length);
    places.forEach((p, i) => {
      const turn = new Matrix4().makeRotationZ((p.turn_deg * Math.PI) / 180);
      turn.setPosition(p.x_mm - tray.width_mm / 2, p.y_mm - tray.depth_mm / 2, 0);
      m.setMatrixAt(i, turn);
    });
    m.frustumCulled = false;
    this.scene.add(m);
    this.parts.push(m);
  }

  private box(w: number, d: number, h: number, x: number, y: number, z: number, material: MeshStandardMaterial): Mesh {
    const m = new Mesh(new BoxGeometry(w, d, h), material);
    m.position.set(x, y, z + h / 2);
    this.scene.add(m);
    this.parts.push(m);
    return m;
  }

  /** setLevel fills rubber up to a height above the base, mm. */
  setLevel(mm: number) {
    this.level = mm;
    const t = this.tray;
    this.filled.visible = mm > 0.05 && t !== null;
    if (t) {
      this.filled.scale.set(t.width_mm - 0.02, t.depth_mm - 0.02, Math.max(mm, 0.01));
      this.filled.position.set(0, 0, mm / 2);
    }
    this.ask();
  }

  ask() {
    if (this.frame) return;
    this.frame = requestAnimationFrame(() => {
      this.frame = 0;
      this.draw();
    });
  }

  draw() {
    const [w, h] = [this.canvas.clientWidth, this.canvas.clientHeight];
    if (w === 0 || h === 0) return;
    this.renderer.setPixelRatio(Math.min(Math.max(devicePixelRatio, 1.5), 2));
    this.renderer.setSize(w, h, false);
    this.camera.aspect = w / h;
    this.camera.updateProjectionMatrix();
    const radius = this.tray ? Math.hypot(this.tray.width_mm, this.tray.depth_mm) / 2 : 100;
    const half = Math.tan((fov * Math.PI) / 360);
    this.table.aim(this.camera, (radius * 1.06) / Math.min(half * Math.max(w / h, 0.1), half * 1.35), 0);
    this.renderer.render(this.scene, this.camera);
    this.drawn();
  }
}
