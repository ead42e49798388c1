// What a person chose for every screen: units, lamp, and the number that lies open.
import type { Figure, Lamp, Units } from './types';
import { lamps } from './types';

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
  opened = $state.raw<Figure | null>(null);

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
