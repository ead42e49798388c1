// Colours of the states seen last, so that scrubbing back and forth asks the server once.
const most = 48;

export class ColourCache {
  readonly #kept = new Map<string, Promise<Uint8Array>>();

  get(key: string, read: () => Promise<Uint8Array>): Promise<Uint8Array> {
    const kept = this.#kept.get(key);
    if (kept) {
      this.#kept.delete(key); // to the end: used last
      this.#kept.set(key, kept);
      return kept;
    }
    const reading = read();
    this.#kept.set(key, reading);
    reading.catch(() => this.#kept.delete(key));
    if (this.#kept.size > most) this.#kept.delete(this.#kept.keys().next().value!);
    return reading;
  }
}
