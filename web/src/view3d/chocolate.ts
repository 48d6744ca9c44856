// One chocolate on paper: whole, cut open, coloured by a map, or as drawn beside what
// will come out, both turned together. Draws only when something changed.
import {
  BufferAttribute,
  BufferGeometry,
  DirectionalLight,
  DoubleSide,
  Mesh,
  MeshStandardMaterial,
  NeutralToneMapping,
  PerspectiveCamera,
  Plane,
  Scene,
  Vector3,
  WebGLRenderer,
} from "three";
import type { ForecastHead, PieceHead } from "../api";
import type { Octets } from "../octets";
import { Ground } from "./ground";
import { at, type Heights, window3d } from "./heights";
import { fillingColour, matterOf } from "./matter";
import { type Pane, type Panes, panes } from "./panes";
import { room } from "./room";
import { type Axis, type Section, type Strip, section } from "./section";
import { maps, type Rules, Surface } from "./surface";
import { Turntable } from "./turntable";

export type Look = "whole" | "cut" | "made" | "difference" | "steps" | "draft" | "air";

const fov = 18;
/** Room left and right of the piece for its measures, px. */
const beside = 44;

export interface Marks {
  shell: [number, number, number] | null;
  filling: [number, number, number] | null;
  cap: [number, number, number] | null;
}

export class ChocolateView {
  private renderer: WebGLRenderer;
  private scene = new Scene();
  private camera = new PerspectiveCamera(fov, 1, 1, 2000);
  private surface = new Surface();
  private body = new Mesh(new BufferGeometry(), this.surface.material);
  private cast = new Surface();
  private made = new Mesh(new BufferGeometry(), this.cast.material);
  private hasMade = false;
  private ground = new Ground();
  private faces: Record<keyof Section, Mesh<BufferGeometry, MeshStandardMaterial>>;
  private plane = new Plane(new Vector3(0, 1, 0), 0);
  private table: Turntable;
  private frame = 0;
  private outside: Heights | null = null;
  private inside: Heights | null = null;
  private head: PieceHead | null = null;
  private look: Look = "whole";
  private axis: Axis = "y";
  private cutMM = 0;
  private night = false;
  private shadowFor = "";
  marks: Marks = { shell: null, filling: null, cap: null };
  /** Called after every picture. */
  drawn: () => void = () => {};

  constructor(
    private readonly canvas: HTMLCanvasElement,
    still: () => boolean,
  ) {
    this.renderer = new WebGLRenderer({ canvas, antialias: true, alpha: true, preserveDrawingBuffer: true });
    this.renderer.toneMapping = NeutralToneMapping;
    this.renderer.toneMappingExposure = 1.05;
    this.renderer.localClippingEnabled = true;
    const lamp = new DirectionalLight("#fff6ea", 2.1);
    lamp.position.set(window3d.x, window3d.y, window3d.tan);
    const face = () => new Mesh(new BufferGeometry(), new MeshStandardMaterial({ roughness: 0.85, side: DoubleSide }));
    this.faces = { shell: face(), filling: face(), cap: face() };
    const wall = new DirectionalLight("#ffeedd", 0.55); // what the walls throw back
    wall.position.set(0.6, -0.9, 0.5);
    this.scene.add(lamp, wall, this.body, this.made, this.ground.mesh, ...Object.values(this.faces));
    this.body.frustumCulled = this.made.frustumCulled = false;
    for (const f of Object.values(this.faces)) f.frustumCulled = false;
    this.table = new Turntable(canvas, () => this.ask(), still);
    this.light(false);
  }

  dispose() {
    cancelAnimationFrame(this.frame);
    this.table.dispose();
    this.surface.dispose();
    this.cast.dispose();
    this.made.geometry.dispose();
    this.ground.dispose();
    this.body.geometry.dispose();
    for (const f of Object.values(this.faces)) {
      f.geometry.dispose();
      f.material.dispose();
    }
    this.scene.environment?.dispose();
    this.renderer.dispose();
  }

  /** light changes between a paper and a dark table. */
  light(night: boolean) {
    this.night = night;
    this.scene.environment?.dispose();
    this.scene.environment = room(this.renderer, night);
    this.scene.environmentIntensity = 0.62;
    this.shadowFor = "";
    this.ask();
  }

  show(o: Octets<PieceHead>) {
    const h = o.head;
    this.head = h;
    this.outside = { grid: h.heights, z: o.uint16("heights") };
    this.inside = h.filling ? { grid: h.filling, z: o.uint16("filling") } : null;
    const g = new BufferGeometry();
    g.setAttribute("position", new BufferAttribute(o.float32("positions"), 3));
    g.setIndex(new BufferAttribute(o.uint32("triangles"), 1));
    this.body.geometry.dispose();
    this.body.geometry = g;
    const m = matterOf(h.kind);
    this.surface.paint(m);
    this.cast.paint(m);
    this.surface.dress(this.outside, h.detail === "fine");
    this.faces.shell.material.color.copy(m.cut);
    this.faces.cap.material.color.copy(m.cut).multiplyScalar(1.2);
    this.faces.filling.material.color.copy(fillingColour(h.numbers.filling ?? ""));
    // A face turned from the window still shows its colour: that is what one cut it for.
    for (const f of Object.values(this.faces)) f.material.emissive.copy(f.material.color).multiplyScalar(0.42);
    this.shadowFor = "";
    this.cutAgain();
    this.ask();
  }

  /** foresee takes the piece as it will come out; mostMM is where the scale of the difference ends. */
  foresee(o: Octets<ForecastHead> | null, mostMM: number) {
    this.hasMade = o !== null;
    if (o) {
      const g = new BufferGeometry();
      g.setAttribute("position", new BufferAttribute(o.float32("positions"), 3));
      g.setIndex(new BufferAttribute(o.uint32("triangles"), 1));
      this.made.geometry.dispose();
      this.made.geometry = g;
      this.cast.dress({ grid: o.head.heights, z: o.uint16("heights") }, true);
      this.surface.differ({ grid: o.head.difference, z: o.uint16("difference") }, mostMM);
    }
    this.cutAgain();
    this.ask();
  }

  judge(r: Rules) {
    this.surface.judge(r);
    this.ask();
  }

  setLook(look: Look) {
    this.look = look;
    this.cutAgain();
    this.ask();
  }

  /** fly goes to a place on the piece. */
  fly(x: number, y: number) {
    this.table.fly(x, y, this.heightAt(x, y), 0.3);
  }

  /** heightAt is that of the piece as drawn, mm. */
  heightAt(x: number, y: number): number {
    return this.outside ? at(this.outside, x, y) : 0;
  }

  setCut(axis: Axis, mm: number) {
    this.axis = axis;
    this.cutMM = mm;
    this.cutAgain();
    this.ask();
  }

  view(around: number, up: number) {
    this.table.to(around, up);
  }

  private cutAgain() {
    const cut = this.look === "cut" && this.outside !== null;
    for (const f of Object.values(this.faces)) f.visible = cut;
    const map =
      this.look === "draft" || this.look === "steps" || (this.look === "difference" && this.hasMade)
        ? this.look
        : "none";
    this.surface.uniforms.map.value = maps[map];
    this.surface.material.clippingPlanes = cut ? [this.plane] : null;
    this.shade();
    if (!cut || !this.outside) return;
    const y = this.axis === "y";
    // What lies before the plane is taken away: nearer to you, or to the right.
    this.plane.normal.set(y ? 0 : -1, y ? 1 : 0, 0);
    this.plane.constant = y ? -this.cutMM : this.cutMM;
    const s = section(this.outside, this.inside, this.head?.cap_mm ?? 0, this.axis, this.cutMM);
    for (const k of ["shell", "filling", "cap"] as const) fill(this.faces[k], s[k], this.axis);
    this.marks = { shell: s.shell.middle, filling: s.filling.middle, cap: s.cap.middle };
  }

  private shade() {
    if (!this.outside) return;
    const cut = this.look === "cut" ? { axis: this.axis, mm: Math.round(this.cutMM * 4) / 4 } : null;
    const key = JSON.stringify([cut, this.night]);
    if (key === this.shadowFor) return;
    this.shadowFor = key;
    this.ground.shade(this.outside, cut, this.night);
  }

  /** panes of the picture: one, or as drawn and as it will come out, beside or below each other. */
  panes(): Panes {
    return panes(this.width(), this.height(), this.look === "made" && this.hasMade);
  }

  /** project gives the place on the picture, px from its upper left corner, in its first or another pane. */
  project(x: number, y: number, z: number, pane?: Pane): [number, number] {
    const p = pane ?? this.panes()[0];
    const v = new Vector3(x, y, z).project(this.camera);
    return [p.x + ((v.x + 1) / 2) * p.w, p.y + ((1 - v.y) / 2) * p.h];
  }

  /** width of the picture, px. */
  width() {
    return this.canvas.clientWidth;
  }

  /** height of the picture, px. */
  height() {
    return this.canvas.clientHeight;
  }

  /** facing says whether the right and the front side are turned to the viewer. */
  facing(): { right: boolean; front: boolean } {
    return { right: this.camera.position.x > 0, front: this.camera.position.y < 0 };
  }

  /** ask draws at the next chance. */
  ask() {
    if (this.frame) return;
    this.frame = requestAnimationFrame(() => {
      this.frame = 0;
      this.draw();
    });
  }

  draw() {
    const w = this.canvas.clientWidth;
    const h = this.canvas.clientHeight;
    if (w === 0 || h === 0) return;
    this.renderer.setPixelRatio(Math.min(Math.max(devicePixelRatio, 1.6), 2));
    this.renderer.setSize(w, h, false);
    const all = this.panes();
    const { w: wide, h: high } = all[0];
    this.camera.aspect = wide / high;
    this.camera.updateProjectionMatrix();
    this.table.aim(
      this.camera,
      this.distance((wide - 2 * beside) / high),
      (this.head?.numbers.height_mm ?? 0) * 0.2 - 2,
    );
    this.camera.updateMatrixWorld();
    this.renderer.setScissorTest(all.length > 1);
    for (const [i, p] of all.entries()) {
      if (!p) continue;
      this.body.visible = i === 0;
      this.made.visible = i > 0;
      this.renderer.setViewport(p.x, h - p.y - p.h, p.w, p.h);
      this.renderer.setScissor(p.x, h - p.y - p.h, p.w, p.h);
      this.renderer.render(this.scene, this.camera);
    }
    this.drawn();
  }

  /** distance shows the whole piece with room for its measures, however it is turned. */
  private distance(aspect: number): number {
    const n = this.head?.numbers;
    const radius = n ? Math.hypot(n.width_mm, n.depth_mm, n.height_mm) / 2 : 25;
    const half = Math.tan((fov * Math.PI) / 360);
    return (radius * 1.16) / Math.min(half * Math.max(aspect, 0.1), half * 1.28);
  }
}

function fill(mesh: Mesh, s: Strip, axis: Axis) {
  mesh.geometry.dispose();
  const g = new BufferGeometry();
  g.setAttribute("position", new BufferAttribute(s.positions, 3));
  const n = new Float32Array(s.positions.length);
  for (let i = 0; i < n.length; i += 3) n[i + (axis === "y" ? 1 : 0)] = axis === "y" ? -1 : 1;
  g.setAttribute("normal", new BufferAttribute(n, 3));
  g.setIndex(new BufferAttribute(s.triangles, 1));
  mesh.geometry = g;
}
