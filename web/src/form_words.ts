// What the groups of a form are called at the bench, by the key of the list: the heading, and one of its items.
const lists: Record<string, { title: string; one: string }> = {
  yellow: { title: 'Yellow of the clear', one: 'a spot' },
  sheen: { title: 'Sheen', one: 'a spot' },
  checks: { title: 'Checks counted', one: 'a line' },
  string_wear: { title: 'Frets and fingerboard', one: 'a place' },
  film_wear: { title: 'Finish in worn places', one: 'a place' },
  metal: { title: 'Plated metal', one: 'a part' },
  dirt: { title: 'Grime', one: 'a place' },
  marks: { title: 'Marks', one: 'a mark' },
  shelf: { title: 'On the shelf', one: 'a tin' },
  over: { title: 'Coats that will lie over it', one: 'a coat' },
  coats: { title: 'Coats', one: 'a coat' },
  toners: { title: 'Toners', one: 'a toner' },
  sprayed: { title: 'What is sprayed', one: 'a material' },
  weighings: { title: 'Weighings of a test card', one: 'a weighing' },
  thinner: { title: 'Thinner', one: 'a solvent' },
  solvents: { title: 'Solvents', one: 'a solvent' },
  readings: { title: 'Cup readings', one: 'a reading' },
  spray_outs: { title: 'Spray-outs', one: 'a spray-out' },
  grains: { title: 'Grains', one: 'a reading' },
  old: { title: 'Old coats', one: 'a coat' },
  parts: { title: 'Parts of the mixture', one: 'a part' },
  corners: { title: 'Corners of the chart', one: 'a corner' },
  spots: { title: 'Spots to read', one: 'a spot' },
  show: { title: 'What should show', one: 'a coat' },
};
export const list_title = (key: string, otherwise: string) => lists[key]?.title ?? otherwise;
export const one_of = (key: string) => lists[key]?.one ?? 'one';
