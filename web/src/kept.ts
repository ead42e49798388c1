// What was typed into a form, kept in this browser by job and question until it is cleared.
import { is_table, type Fields } from './shape';

const name_of_form = (job: string, word: string) => `form/${encodeURIComponent(job)}/${word}`;

/** undefined: nothing was kept, or storage is switched off. */
export function kept_form(job: string, word: string): Fields | undefined {
  try {
    const read = JSON.parse(localStorage.getItem(name_of_form(job, word)) ?? 'null');
    return is_table(read) ? read : undefined;
  } catch {
    return undefined;
  }
}

export function keep_form(job: string, word: string, typed: Fields) {
  try {
    if (Object.keys(typed).length) localStorage.setItem(name_of_form(job, word), JSON.stringify(typed));
    else localStorage.removeItem(name_of_form(job, word));
  } catch {
    // storage switched off or full: what is typed lasts as long as the page
  }
}

/** What a form starts with: what was typed before, else what the job itself answers; never an example. */
export const first_form = (job: string, word: string, keys: string[], job_file: string): Fields =>
  kept_form(job, word) ?? (job && keys.includes('job') ? { job: job_file } : {});
