/**
 * The words of one survey. Lengths in metres, resistances in ohms, angles in degrees, temperatures in degrees Celsius;
 * a field that was not given is absent (never null, never a made-up value).
 */

export const METHODS = [
  'fall-of-potential',
  'slope',
  'two-point',
  'four-point',
  'clamp-loop',
  'selective',
  'high-frequency',
  'current-injection',
  'known-earth',
  'check-resistor',
] as const
export type Method = (typeof METHODS)[number]

export const PURPOSES = ['commissioning', 'periodic', 'after-repair', 'after-fault', 'investigation'] as const
type Purpose = (typeof PURPOSES)[number]

/** Why a test was made or could not be made; anything but `tested` is a result without readings. */
export const OUTCOMES = [
  'tested',
  'no-access',
  'not-found',
  'link-seized',
  'no-room',
  'no-outage',
  'unsafe',
] as const
export type Outcome = (typeof OUTCOMES)[number]

/** What was connected while measuring: each is another quantity with its own baseline and limit. */
export const MEASURED_AS = ['electrode-alone', 'connected', 'part-of-system', 'not-known'] as const
export type MeasuredAs = (typeof MEASURED_AS)[number]

/** H is the current probe's circuit, S the potential probe's (IEC 61557-5). */
export const CONDITIONS = ['ok', 'over-range', 'auxiliary-h', 'auxiliary-s', 'interference'] as const
export type Condition = (typeof CONDITIONS)[number]

export const CONNECTIONS = ['3-wire', '4-wire'] as const
export const DISTANCE_ORIGINS = ['edge', 'centre', 'connection-point'] as const
export const LEAD_LAYOUTS = ['apart', 'side-by-side'] as const
export const SOIL_STATES = ['dry', 'moist', 'wet', 'frozen'] as const
export const LINK_CHECKS = ['tight-and-measured', 'tight', 'not-opened', 'still-open'] as const
export const VISUALS = ['good', 'loose', 'corroded', 'broken', 'stolen', 'buried', 'not-seen'] as const
export const EVENTS = ['repaired', 'extended', 'replaced'] as const

/** One reading. `resistanceOhm` is present when `condition` is `ok`. */
export interface Reading {
  /** Distance of the potential probe from the electrode, m. Absent for two-point and clamp methods. */
  potentialProbeM?: number
  resistanceOhm?: number
  condition: Condition
  /** Lower bound shown by the display when over range, ohm. */
  atLeastOhm?: number
  /** Four-point only: distance between neighbouring stakes, m, and their depth, m. */
  probeSpacingM?: number
  probeDepthM?: number
}

/** One survey as handed in, in SI units. Immutable once stored; a correction is a new survey that names it in `corrects`. */
export interface Survey {
  surveyRef: string
  /** Absent for four-point (a site's soil) and check-resistor (an instrument). */
  electrodeId?: string
  siteId?: string
  /** ISO 8601 with offset, as handed in. */
  testedAt: string
  method: Method
  purpose?: Purpose
  outcome: Outcome
  repeatOf?: string
  secondDirectionOf?: string
  corrects?: string
  measuredAs: MeasuredAs
  currentProbeM?: number
  knownOhm?: number
  leadAngleDeg?: number
  probeHOhm?: number
  probeSOhm?: number
  interferenceV?: number
  testFrequencyHz?: number
  testCurrentMa?: number
  connection?: (typeof CONNECTIONS)[number]
  earthLeadOhm?: number
  distanceFrom?: (typeof DISTANCE_ORIGINS)[number]
  lineDirection?: string
  leads?: (typeof LEAD_LAYOUTS)[number]
  leadResistanceOhm?: number
  fromPoint?: string
  toPoint?: string
  instrumentId?: string
  tester?: string
  secondPerson?: string
  witness?: string
  permitRef?: string
  personInControl?: string
  soilState?: (typeof SOIL_STATES)[number]
  soilTemperatureC?: number
  airTemperatureC?: number
  rainLast48h?: string
  linkOpenedAt?: string
  linkClosedAt?: string
  linkChecked?: (typeof LINK_CHECKS)[number]
  restoredBy?: string
  visual?: (typeof VISUALS)[number]
  event?: (typeof EVENTS)[number]
  notes?: string
  readings: Reading[]
}

/** What a survey is about: an electrode, or for four-point a site, or for check-resistor an instrument. */
export interface Subject {
  kind: 'electrode' | 'site' | 'instrument'
  id: string
}

/** The subject a survey is stored under, or null when the survey names none (then it is refused before this is asked). */
export function subjectOf(
  survey: Pick<Survey, 'method' | 'electrodeId' | 'siteId' | 'instrumentId'>,
): Subject | null {
  if (survey.method === 'four-point') return survey.siteId ? { kind: 'site', id: survey.siteId } : null
  if (survey.method === 'check-resistor')
    return survey.instrumentId ? { kind: 'instrument', id: survey.instrumentId } : null
  return survey.electrodeId ? { kind: 'electrode', id: survey.electrodeId } : null
}
