import type { UncertaintyPart } from './evaluation.ts'

/** What a method found, before the limit and the papers are looked at. */
export interface Measured {
  resistanceOhm: number | null
  /** The doubt is as large as the value, on a display of few digits: good for a limit far above, no value to be kept. */
  unresolved?: boolean
  parts: UncertaintyPart[]
  resultBy: string | null
  meanOhm: number | null
  fitOhm: number | null
  spreadPercent: number | null
  recommendedCurrentProbeM: number | null
  /** Given by methods that measure the soil itself. */
  soilOhmM?: number
}

export const NO_VALUE: Measured = {
  resistanceOhm: null,
  parts: [],
  resultBy: null,
  meanOhm: null,
  fitOhm: null,
  spreadPercent: null,
  recommendedCurrentProbeM: null,
}
