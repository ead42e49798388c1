// Which notes a screen must show, the gravest first, each once.
import type { Note, Outcome, PlanOutcome } from './types';

const gravity: Record<Note['severity'], number> = { danger: 0, caution: 1, information: 2 };

export function sorted_notes(notes: Note[]): Note[] {
  const seen = new Set<string>();
  return notes
    .filter((note) => !seen.has(note.severity + note.text) && seen.add(note.severity + note.text))
    .sort((a, b) => gravity[a.severity] - gravity[b.severity]);
}

/** Notes of one severity about one thing, said together. */
export interface NoteGroup {
  severity: Note['severity'];
  about: string;
  texts: string[];
}
export function grouped(notes: Note[]): NoteGroup[] {
  const groups: NoteGroup[] = [];
  for (const { severity, about, text } of notes) {
    const group = groups.find((one) => one.severity === severity && one.about === about);
    if (group) group.texts.push(text);
    else groups.push({ severity, about, texts: [text] });
  }
  return groups;
}

/** Everything said about the job, the plan and each of its steps up to the end. */
export function notes_of_plan(outcome: Outcome, plan: PlanOutcome): Note[] {
  return sorted_notes([...outcome.notes, ...plan.notes, ...plan.steps.flatMap((step) => step.notes)]);
}

/** Dangers stay in sight on every screen of a plan, whatever step is shown. */
export const dangers_of_plan = (outcome: Outcome, plan: PlanOutcome): Note[] =>
  notes_of_plan(outcome, plan).filter((note) => note.severity === 'danger' && note.about !== 'hold_points');  // the safety box says that
