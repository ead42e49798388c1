// The instrument in 3-D: colours as the server gave them, shaded only where the surface turns away.
import {
  BufferAttribute, BufferGeometry, Mesh, PerspectiveCamera, Raycaster, Scene, ShaderMaterial, Sphere, Vector2, Vector3,
  WebGLRenderer,
} from 'three';
import { OrbitControls } from 'three/examples/jsm/controls/OrbitControls.js';
import type { LightMesh } from './types';

export const faces = ['front', 'back', 'bass side', 'treble side', 'tail end'] as const;
export type ViewedFace = (typeof faces)[number];

// Body frame: x treble, y to the neck, z out of the front.
const seen_from: Record<ViewedFace, [number, number, number]> = {
  front: [0, 0, 1], back: [0, 0, -1], 'bass side': [-1, 0, 0.12], 'treble side': [1, 0, 0.12], 'tail end': [0, -1, 0.35],
};

const vertex_shader = `
  attribute vec3 shown;
  varying vec3 light_of; varying vec3 facing; varying vec3 to_eye;
  vec3 linear_of(vec3 c) { return mix(c / 12.92, pow((c + 0.055) / 1.055, vec3(2.4)), step(0.04045, c)); }
  void main() {
    vec4 at = modelViewMatrix * vec4(position, 1.0);
    light_of = linear_of(shown);
    facing = normalMatrix * normal;
    to_eye = -at.xyz;
    gl_Position = projectionMatrix * at;
  }`;
// Within about 35 degrees of square-on the colour is exactly the one worked out.
const fragment_shader = `
  varying vec3 light_of; varying vec3 facing; varying vec3 to_eye;
  vec3 encoded(vec3 c) { return mix(c * 12.92, 1.055 * pow(c, vec3(1.0 / 2.4)) - 0.055, step(0.0031308, c)); }
  void main() {
    float turn = abs(dot(normalize(facing), normalize(to_eye)));
    float shade = mix(0.30, 1.0, smoothstep(0.0, 0.82, turn));
    gl_FragColor = vec4(encoded(light_of * shade), 1.0);
  }`;

export interface Tapped {
  at: [number, number, number];
}

export class BodyView {
  on_tap: (tapped: Tapped) => void = () => {};
  /** Where the marked place is on the canvas, or null when it is hidden; called after each picture. */
  on_mark: (place: { x: number; y: number } | null) => void = () => {};

  readonly #renderer: WebGLRenderer;
  readonly #scene = new Scene();
  readonly #camera = new PerspectiveCamera(22, 1, 0.01, 20);
  readonly #controls: OrbitControls;
  readonly #material = new ShaderMaterial({ vertexShader: vertex_shader, fragmentShader: fragment_shader });
  readonly #resized: ResizeObserver;
  #mesh: Mesh | null = null;
  #ball = new Sphere(new Vector3(), 0.3);
  #half = new Vector3(0.2, 0.3, 0.05);
  #mark: Vector3 | null = null;
  #frame = 0;
  #rest = 0; // timer that ends a movement
  #moving = false;
  #pressed: { x: number; y: number; id: number; many: boolean } | null = null;

  /** Throws where the browser has no 3-D. */
  constructor(readonly canvas: HTMLCanvasElement) {
    this.#renderer = new WebGLRenderer({ canvas, antialias: true, alpha: true });
    this.#controls = new OrbitControls(this.#camera, canvas);
    this.#controls.enablePan = true;
    this.#controls.addEventListener('change', () => this.draw());
    this.#resized = new ResizeObserver(() => this.#fit_to_canvas());
    this.#resized.observe(canvas.parentElement ?? canvas);
    canvas.addEventListener('pointerdown', this.#press);
    canvas.addEventListener('pointerup', this.#release);
    canvas.addEventListener('keydown', this.#key);
    canvas.addEventListener('webglcontextrestored', () => this.draw());
  }

  set_mesh(mesh: LightMesh) {
    const geometry = new BufferGeometry();
    geometry.setAttribute('position', new BufferAttribute(mesh.positions, 3));
    geometry.setAttribute('normal', new BufferAttribute(mesh.normals, 3));
    geometry.setAttribute('shown', new BufferAttribute(new Uint8Array(mesh.positions.length).fill(190), 3, true));
    geometry.setIndex(new BufferAttribute(mesh.triangles, 1));
    geometry.computeBoundingSphere();
    geometry.computeBoundingBox();
    if (geometry.boundingSphere) this.#ball = geometry.boundingSphere.clone();
    geometry.boundingBox?.getSize(this.#half).multiplyScalar(0.5);
    if (this.#mesh) {
      this.#scene.remove(this.#mesh);
      this.#mesh.geometry.dispose();
    }
    this.#mesh = new Mesh(geometry, this.#material);
    this.#scene.add(this.#mesh);
    this.#controls.target.copy(this.#ball.center);
    this.#controls.minDistance = this.#ball.radius * 0.5;
    this.#controls.maxDistance = this.#ball.radius * 12;
    this.turn_to('front');
  }

  /** Three bytes a vertex, sRGB. */
  set_colours(colours: Uint8Array) {
    const shown = this.#mesh?.geometry.getAttribute('shown') as BufferAttribute | undefined;
    if (!shown || shown.array.length !== colours.length) return;
    shown.array.set(colours);
    shown.needsUpdate = true;
    this.draw();
  }

  set_mark(at: [number, number, number] | null) {
    this.#mark = at ? new Vector3(...at) : null;
    this.draw();
  }

  turn_to(face: ViewedFace) {
    const [x, y, z] = seen_from[face];
    const direction = new Vector3(x, y, z).normalize();
    this.#controls.target.copy(this.#ball.center);
    this.#camera.up.set(0, 1, 0);
    if (face === 'tail end') this.#camera.up.set(0, 0, 1);
    // Far enough that the whole face fits, whichever way the canvas is longer.
    const wide = face === 'front' || face === 'back' || face === 'tail end' ? this.#half.x : this.#half.z;
    const high = face === 'tail end' ? this.#half.z : this.#half.y;
    const near = face === 'tail end' ? this.#half.y : face === 'front' || face === 'back' ? this.#half.z : this.#half.x;
    const tangent = Math.tan((this.#camera.fov * Math.PI) / 360);
    const distance = (Math.max(high, wide / Math.max(0.2, this.#camera.aspect)) * 1.06) / tangent + near;
    this.#camera.position.copy(this.#ball.center).addScaledVector(direction, distance);
    this.#controls.update();
    this.draw();
  }

  /** Reads the place under a point of the canvas, in CSS pixels from its corner. */
  read_at(x: number, y: number) {
    const box = this.canvas.getBoundingClientRect();
    const pointer = new Vector2((x / box.width) * 2 - 1, 1 - (y / box.height) * 2);
    const ray = new Raycaster();
    ray.setFromCamera(pointer, this.#camera);
    const hit = this.#mesh ? ray.intersectObject(this.#mesh)[0] : undefined;
    if (hit) this.on_tap({ at: [hit.point.x, hit.point.y, hit.point.z] });
  }

  read_middle() {
    const box = this.canvas.getBoundingClientRect();
    this.read_at(box.width / 2, box.height / 2);
  }

  /** Draws soon: plainly while things move, and once more with smooth outlines when they have come to rest. */
  draw() {
    this.#moving = true;
    clearTimeout(this.#rest);
    this.#rest = window.setTimeout(() => {
      this.#moving = false;
      this.#picture();
    }, 200);
    this.#frame ||= requestAnimationFrame(() => this.#picture());
  }

  #picture() {
    cancelAnimationFrame(this.#frame);
    this.#frame = 0;
    const sharpness = this.#moving ? Math.min(2, window.devicePixelRatio) : 2;
    if (this.#renderer.getPixelRatio() !== sharpness) this.#renderer.setPixelRatio(sharpness);
    this.#renderer.render(this.#scene, this.#camera);
    this.on_mark(this.#mark_on_canvas());
  }

  dispose() {
    cancelAnimationFrame(this.#frame);
    clearTimeout(this.#rest);
    this.#resized.disconnect();
    this.#controls.dispose();
    this.#mesh?.geometry.dispose();
    this.#material.dispose();
    this.#renderer.dispose();
  }

  #mark_on_canvas(): { x: number; y: number } | null {
    if (!this.#mark || !this.#mesh) return null;
    const to_mark = this.#mark.clone().sub(this.#camera.position);
    const ray = new Raycaster(this.#camera.position, to_mark.clone().normalize());
    const hit = ray.intersectObject(this.#mesh)[0];
    if (hit && hit.distance < to_mark.length() - 0.004) return null;
    const seen = this.#mark.clone().project(this.#camera);
    if (Math.abs(seen.x) > 1 || Math.abs(seen.y) > 1) return null;
    const box = this.canvas.getBoundingClientRect();
    return { x: ((seen.x + 1) / 2) * box.width, y: ((1 - seen.y) / 2) * box.height };
  }

  #fit_to_canvas() {
    const box = (this.canvas.parentElement ?? this.canvas).getBoundingClientRect();
    if (box.width < 1 || box.height < 1) return;
    const first = this.#camera.aspect === 1;
    this.#renderer.setSize(box.width, box.height, false);
    this.#camera.aspect = box.width / box.height;
    this.#camera.updateProjectionMatrix();
    if (first && this.#mesh) this.turn_to('front');
    this.draw();
  }

  #press = (event: PointerEvent) => {
    if (this.#pressed) this.#pressed.many = true;
    else this.#pressed = { x: event.clientX, y: event.clientY, id: event.pointerId, many: false };
  };
  #release = (event: PointerEvent) => {
    const pressed = this.#pressed;
    if (!pressed || pressed.id !== event.pointerId) return;
    this.#pressed = null;
    // A gloved finger rolls a little; more than this is a turn of the instrument.
    if (pressed.many || Math.hypot(event.clientX - pressed.x, event.clientY - pressed.y) > 12) return;
    const box = this.canvas.getBoundingClientRect();
    this.read_at(event.clientX - box.left, event.clientY - box.top);
  };
  #key = (event: KeyboardEvent) => {
    const turn = 0.12;
    const offset = this.#camera.position.clone().sub(this.#controls.target);
    const right = new Vector3().setFromMatrixColumn(this.#camera.matrix, 0);
    switch (event.key) {
      case 'ArrowLeft': offset.applyAxisAngle(this.#camera.up, -turn); break;
      case 'ArrowRight': offset.applyAxisAngle(this.#camera.up, turn); break;
      case 'ArrowUp': offset.applyAxisAngle(right, -turn); break;
      case 'ArrowDown': offset.applyAxisAngle(right, turn); break;
      case '+': case '=': offset.multiplyScalar(0.88); break;
      case '-': offset.multiplyScalar(1.14); break;
      case 'Enter': case ' ': this.read_middle(); event.preventDefault(); return;
      default: return;
    }
    event.preventDefault();
    this.#camera.position.copy(this.#controls.target).add(offset);
    this.#controls.update();
    this.draw();
  };
}
