// What a person chose for every screen: units, lamp, and the number that lies open.
import type { Figure, Lamp, Units } from './types';
import { lamps, lights, still_faces, type Light, type StillFace } from './types';

function remembered<T extends string>(key: string, known: readonly T[], otherwise: T): T {
  try {
    return known.find((word) => word === localStorage.getItem(key)) ?? otherwise;
  } catch {
    return otherwise; // storage switched off
  }
}

function remember(key: string, word: string) {
  try {
    localStorage.setItem(key, word);
  } catch {
    // storage switched off: the choice lasts as long as the page
  }
}

class Session {
  #units = $state<Units>(remembered('units', ['metric', 'us'], 'metric'));
  #lamp = $state<Lamp>(remembered('lamp', lamps, 'D65'));
  #light = $state<Light>(remembered('light', lights, 'window'));
  #face = $state<StillFace>(remembered('face', still_faces, 'front'));
  #fitted = $state<'yes' | 'no'>(remembered('fitted', ['yes', 'no'], 'yes'));
  opened = $state.raw<Figure | null>(null);

  get light() {
    return this.#light;
  }
  set light(light: Light) {
    this.#light = light;
    remember('light', light);
  }
  get face() {
    return this.#face;
  }
  set face(face: StillFace) {
    this.#face = face;
    remember('face', face);
  }
  get fitted() {
    return this.#fitted;
  }
  set fitted(fitted: 'yes' | 'no') {
    this.#fitted = fitted;
    remember('fitted', fitted);
  }

  get units() {
    return this.#units;
  }
  set units(units: Units) {
    this.#units = units;
    remember('units', units);
  }
  get lamp() {
    return this.#lamp;
  }
  set lamp(lamp: Lamp) {
    this.#lamp = lamp;
    remember('lamp', lamp);
  }
}

export const session = new Session();
