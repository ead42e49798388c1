// What the server answers, by hand until src/generated/types.ts is written by the program.
export type Kind = 'measured' | 'computed' | 'published' | 'memory' | 'estimate';
export type Severity = 'information' | 'caution' | 'danger';
export type Origin = 'original' | 'later' | 'this_plan';
export interface Shown { value: number | null; unit: string; text: string; band: string }
export interface Input { name: string; value: number | null; quantity: string; kind: Kind; source: string; metric: Shown; us: Shown }
export interface Figure {
  name: string; value: number | null; band: { low: number | null; high: number | null }; quantity: string;
  law: string; source: string; inputs: Input[]; kind: Kind; metric: Shown; us: Shown;
}
export interface Note { severity: Severity; text: string; about: string }
export interface Place { file: string; line: number; column: number; key: string }
export interface Error { what: string; where: Place; expected: string; mend: string; text: string }
export interface Rgb { r: number; g: number; b: number }
export interface Lab { l: number; a: number; b: number }
export interface ThicknessReading { region: string; area: Figure; min: Figure; p5: Figure; median: Figure; p95: Figure }
export interface ExposedReading { coat: string; origin: Origin; area: Figure }
export interface KeptReading {
  visible_area: Figure; buried_area: Figure; visible_volume: Figure; buried_volume: Figure; dissolved_volume: Figure;
  kept_fraction: Figure;
}
export interface ColourReading { region: string; reflectance: number[]; lab: Lab[]; srgb: Rgb }
export interface MaterialUse { material: string; name: string; volume: Figure; mass: Figure; left_on_shelf: Figure }
export interface StepOutcome {
  id: string; word: string; why: string; thickness: ThicknessReading[]; exposed: ExposedReading[]; kept: KeptReading;
  colours: ColourReading[]; to_target?: Figure | null; hands_on: Figure; waiting: Figure; used: MaterialUse[]; notes: Note[];
}
export interface HoldPoint { question: string; before: string[]; plan?: string; answer?: string }
export interface PlanOutcome {
  id: string; title: string; summary: string; runs: boolean; steps: StepOutcome[]; hands_on: Figure; waiting: Figure;
  days: Figure; cost: Figure; kept_fraction: Figure; touched_fraction?: Figure; to_target?: Figure | null; used: MaterialUse[]; notes: Note[];
  open_hold_points: HoldPoint[];
}
export interface Outcome { job: string; title: string; invented: boolean; plans: PlanOutcome[]; notes: Note[] }
export interface CoatInColumn {
  name: string; material: string; origin: Origin; laid: Figure; left: Figure; melted: Figure; own_colour: Rgb;
  colour_if_bared: Rgb;
}
export interface ColumnReading {
  at: { x: number; y: number; z: number }; regions: string[]; wood: string; masking: 'bare' | 'masked' | 'plugged';
  colour_now: Rgb; colour_bare_wood: Rgb; coats: CoatInColumn[]; stop_depth: Figure; stop_before: string;
  edge_band: boolean;
}
