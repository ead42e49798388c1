// Colours of the maps. Stop depths: dark red cuts nothing, blue has most to spare, grey lies under tape. Wear: from bare
// paper to nearly black. Both are told apart also by eyes that do not tell red from green.
export const stop_colours = ['#6d0d0d', '#d7301f', '#fc8d59', '#fdd49e', '#9ecae1', '#3182bd', '#8c8c8c'] as const;
export const wear_colours = ['#efe8d8', '#c7d8e8', '#7fb1d3', '#f0a04b', '#b8431c', '#3d0f0a'] as const;

/** Three bytes a vertex from one place in the legend a vertex. */
export function colours_of_map(places: Uint8Array, legend: readonly string[]): Uint8Array {
  const bytes = legend.map((colour) => [1, 3, 5].map((at) => parseInt(colour.slice(at, at + 2), 16)));
  const colours = new Uint8Array(places.length * 3);
  places.forEach((place, vertex) => colours.set(bytes[place] ?? [255, 0, 255], 3 * vertex));
  return colours;
}
