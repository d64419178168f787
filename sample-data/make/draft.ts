/** A survey on its way to a file: the words of the contract, beside what only the maker knows. */
import type { Survey } from '../../shared-lib/survey/survey.ts'
import type { DemoElectrode } from './electrode.ts'
import type { Dialect } from './site.ts'

/** What truth.json says was planted. */
export const PLANTED_KINDS = [
  'corrosion',
  'broken-conductor',
  'open-earth',
  'link-not-closed',
  'slipped-decimal',
  'unit-slip',
  'repeated-sheet',
  'wrong-electrode',
  'parallel-path',
  'close-current-probe',
  'readings-out-of-order',
  'bad-set-up',
  'instrument-gone-off',
  'past-calibration',
  'dry-summer',
  'hard-frost',
  'recorded-work',
  'loose-bond',
  'not-made',
] as const
export type PlantedKind = (typeof PLANTED_KINDS)[number]

export interface Planted {
  kind: PlantedKind
  /** What was done, in plain words or numbers. */
  detail: string
  /** How many surveys of the electrode since it began; 0 is the first. Only for what lasts. */
  nth?: number
}

export interface Draft {
  /** Everything but the reference, which is numbered in order of date once all drafts are made. */
  survey: Omit<Survey, 'surveyRef' | 'testedAt' | 'repeatOf' | 'secondDirectionOf'>
  electrode?: DemoElectrode
  dialect: Dialect
  day: number
  minute: number
  offset: string
  repeatOf?: Draft
  secondDirectionOf?: Draft
  /** True value of what `measuredAs` says was measured, ohm; absent when there is none (soil surveys, tests not made). */
  trueOhm?: number
  planted: Planted[]
}
