// Everything the server answers. What C++ describes is generated; the few shapes of the server's own stand here.
import type { Error, Lamp, Touch } from './generated/types';
import type { Fields, Shape } from './shape';
export type * from './generated/types';
export type { Error as Fault } from './generated/types';

export type Units = 'metric' | 'us';
/** Lamps a person may choose between, daylight first. */
export const lamps: Lamp[] = ['D65', 'D50', 'A', 'LED-B3'];

/** What a still is lit by, and from where it is seen. */
export const lights = ['window', 'lamp', 'stage'] as const;
export type Light = (typeof lights)[number];
export const still_faces = ['front', 'back', 'side', 'three_quarter'] as const;
export type StillFace = (typeof still_faces)[number];
export interface StillAsked {
  face: StillFace;
  light?: Light;
  fitted?: boolean;
  width?: number;
  height?: number;
  version?: number; // only makes the browser ask again
}

/** What a map of wear is of: a life of the job (empty: its stand-in) and what of it. */
export interface Worn {
  life: string;
  touches: Touch[];
}

/** The lives a job tells of, and what touched it in each. */
export interface LivesTold {
  lives: { id: string; touches: Touch[] }[];
  stand_in: boolean;
}

/** A job as it lies on the desk. */
export interface JobEntry {
  id: string;
  file: string;
  stage: 'unread' | 'waiting' | 'queued' | 'working' | 'ready' | 'refused';
  title: string;
  kind: string;
  maker: string;
  year: string;
  invented: boolean;
  what: string;
  done: number;
  version: number;
  changed: boolean;
  errors: Error[];
}

export interface Source {
  title: string;
  author: string;
  year: string;
  where: string;
  note: string;
}

/** Thickness through the steps of a plan, already in the unit asked for. */
export interface ThicknessCourse {
  unit: string;
  steps: string[];
  regions: Record<string, { p5: (number | null)[]; median: (number | null)[]; p95: (number | null)[] }>;
}

/** The surface as the 3-D view draws it. */
export interface LightMesh {
  positions: Float32Array<ArrayBuffer>;
  normals: Float32Array<ArrayBuffer>;
  triangles: Uint32Array<ArrayBuffer>;
}

/** Something that can be asked without a job: an example request, and what request and answer hold. */
export interface Verb {
  word: string;
  about: string;
  example: Fields;
  asks: Shape;
  answers: Shape;
}

/** What can be printed, as it is titled; those of the job come first, the rest are of one plan. */
export const papers = {
  condition_report: 'Condition report', proposal: 'Proposal and quote', job_card: 'Job card', mixing_card: 'Mixing card',
  ageing_card: 'Ageing card', safety_sheet: 'Safety sheet', owners_report: "Owner's report", templates: 'Templates at true size',
  workings: 'Workings',
} as const;
export type Paper = keyof typeof papers;
export const papers_of_the_job: Paper[] = ['condition_report', 'proposal'];
export type Sheet = 'a4' | 'letter';
