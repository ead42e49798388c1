// Colours of a stop-depth map: dark red cuts nothing, blue has most to spare, grey lies under tape. Told apart also by
// eyes that do not tell red from green.
export const stop_colours = ['#6d0d0d', '#d7301f', '#fc8d59', '#fdd49e', '#9ecae1', '#3182bd', '#8c8c8c'] as const;

/** Three bytes a vertex from one place in the legend a vertex. */
export function colours_of_stops(stops: Uint8Array): Uint8Array {
  const bytes = stop_colours.map((colour) => [1, 3, 5].map((at) => parseInt(colour.slice(at, at + 2), 16)));
  const colours = new Uint8Array(stops.length * 3);
  stops.forEach((stop, vertex) => colours.set(bytes[stop] ?? [255, 0, 255], 3 * vertex));
  return colours;
}
