import { describe, expect, it } from 'vitest';
import { dangers_of_plan, grouped, sorted_notes } from './notes';
import type { Note, Outcome, PlanOutcome, StepOutcome } from './types';

const note = (severity: Note['severity'], text: string): Note => ({ severity, text, about: '' });

describe('notes', () => {
  it('come gravest first and once', () => {
    const sorted = sorted_notes([note('information', 'a'), note('danger', 'b'), note('caution', 'c'), note('danger', 'b')]);
    expect(sorted.map((n) => n.text)).toEqual(['b', 'c', 'a']);
  });
  it('about one thing stand together', () => {
    const about = (text: string, of: string): Note => ({ severity: 'caution', text, about: of });
    expect(grouped([about('a', 'level'), about('b', 'buff'), about('c', 'level')])).toEqual([
      { severity: 'caution', about: 'level', texts: ['a', 'c'] },
      { severity: 'caution', about: 'buff', texts: ['b'] },
    ]);
  });
  it('never lose a danger, wherever it was said', () => {
    const plan = {
      notes: [note('danger', 'of the plan')],
      steps: [{ notes: [note('danger', 'of a step'), note('caution', 'x')] } as StepOutcome, { notes: [note('danger', 'of the last')] } as StepOutcome],
    } as PlanOutcome;
    const outcome = { notes: [note('danger', 'of the job')] } as Outcome;
    expect(dangers_of_plan(outcome, plan).map((n) => n.text)).toEqual(['of the job', 'of the plan', 'of a step', 'of the last']);
  });
});
