/** The register's words: electrodes, limits, calibrations, works. Units as in survey.ts; dates are ISO 8601 (day or instant). */

export const ELECTRODE_KINDS = [
  'rod',
  'rod-group',
  'ring',
  'grid',
  'plate',
  'foundation',
  'wire',
  'tower-footing',
  'other',
] as const
export type ElectrodeKind = (typeof ELECTRODE_KINDS)[number]

export const RETEST_POLICIES = ['same-month', 'rotating', 'worst-season'] as const
export const ISOLATION = ['yes', 'outage-only', 'no'] as const

export interface Electrode {
  electrodeId: string
  siteId: string
  kind: ElectrodeKind
  /** Driven depth of a rod, length of a wire, m. */
  lengthM?: number
  diameterMm?: number
  /** Longest dimension of a ring, grid or foundation, m. */
  diagonalM?: number
  areaM2?: number
  count?: number
  spacingM?: number
  burialDepthM?: number
  material?: string
  installedOn?: string
  limitOhm?: number
  limitBasis?: string
  responsibleEmail?: string
  deputyEmail?: string
  retestMonths?: number
  retestPolicy?: (typeof RETEST_POLICIES)[number]
  canBeIsolated?: (typeof ISOLATION)[number]
  connectedTo?: string
  tag?: string
  locationText?: string
  usualLine?: string
  usualCurrentProbeM?: number
  hazards?: string
  latitude?: number
  longitude?: number
  /** IANA name; the zone in which a time without offset is read. Default UTC. */
  timeZone?: string
  notes?: string
}

/** One acceptance limit of an electrode for one purpose. `appliesTo` absent = electrode alone. */
export interface Limit {
  electrodeId: string
  purpose: string
  limitOhm: number
  appliesTo?: 'electrode-alone' | 'connected'
  seasonFactor?: number
  basis?: string
  edition?: string
  validFrom?: string
}

/** One calibration of one instrument; the one in force at a test is the newest not after it. */
export interface Calibration {
  instrumentId: string
  calibratedOn: string
  calibrationDueOn?: string
  accuracyPercent?: number
  accuracyDigits?: number
  resolutionOhm?: number
  rangeMaxOhm?: number
  serial?: string
  certificate?: string
}

export const WORK_KINDS = ['repaired', 'extended', 'replaced', 'disturbed', 'stolen'] as const
export interface Work {
  electrodeId: string
  doneOn: string
  what: (typeof WORK_KINDS)[number]
  notes?: string
}
