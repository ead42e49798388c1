// Which questions belong together; a verb the page does not know yet still has its place.
export const groups: { title: string; words: string[] }[] = [
  { title: 'Colour', words: ['read', 'match', 'correct', 'shade', 'yellowed_clear'] },
  { title: 'Mixing and spraying', words: ['tin', 'thin', 'compatible', 'enough', 'lay'] },
  { title: 'Drying', words: ['dry'] },
  { title: 'Fire and breathing', words: ['ventilate'] },
  { title: 'Age', words: ['life', 'dates', 'count_checks', 'wear', 'checks'] },
];

export function grouped_words(known: string[]): { title: string; words: string[] }[] {
  const placed = groups.map(({ title, words }) => ({ title, words: words.filter((word) => known.includes(word)) }));
  const rest = known.filter((word) => !groups.some((group) => group.words.includes(word)));
  return [...placed, { title: 'Other', words: rest }].filter((group) => group.words.length > 0);
}
