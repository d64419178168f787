import { day, email, type FieldFor, id, number, text, word, zone } from './field-types.ts'
import {
  type Calibration,
  ELECTRODE_KINDS,
  type Electrode,
  ISOLATION,
  type Limit,
  RETEST_POLICIES,
  WORK_KINDS,
  type Work,
} from './register.ts'

/** The catalogues of the register's tables: one line a column, as in fields.ts. */
export type FieldsOf<T> = { readonly [K in keyof T]-?: FieldFor<NonNullable<T[K]>> }

const lengthM = { above: 0, max: 20_000 } as const
const ohms = { above: 0, max: 1e9 } as const

const WHAT = 'what it is'
const SIZE = 'size'
const LIMIT = 'limit'
const WHO = 'who answers for it'
const TEST = 'testing'
const PLACE = 'where it is'

export const ELECTRODE_FIELDS: FieldsOf<Electrode> = {
  electrodeId: id('electrode_id', 'Electrode', WHAT),
  siteId: id('site_id', 'Site', WHAT),
  kind: word('kind', 'Kind of electrode', WHAT, ELECTRODE_KINDS),
  lengthM: number('length_m', 'Driven depth of a rod, length of a wire', SIZE, 'm', lengthM),
  diameterMm: number('diameter_mm', 'Diameter', SIZE, 'mm', { above: 0, max: 10_000 }),
  diagonalM: number('diagonal_m', 'Longest dimension', SIZE, 'm', lengthM),
  areaM2: number('area_m2', 'Area', SIZE, 'm2', { above: 0, max: 1e8 }),
  count: number('count', 'Number of rods', SIZE, 'none', { min: 1, max: 10_000, whole: true }),
  spacingM: number('spacing_m', 'Spacing', SIZE, 'm', lengthM),
  burialDepthM: number('burial_depth_m', 'Burial depth', SIZE, 'm', { min: 0, max: 1000 }),
  material: text('material', 'Material', WHAT),
  installedOn: day('installed_on', 'Installed on', WHAT),
  limitOhm: number('limit_ohm', 'Acceptance limit', LIMIT, 'ohm', ohms),
  limitBasis: text('limit_basis', 'Where the limit comes from', LIMIT),
  responsibleEmail: email('responsible_email', 'Responsible engineer (e-mail)', WHO),
  deputyEmail: email('deputy_email', 'Deputy (e-mail)', WHO),
  retestMonths: number('retest_months', 'Retest every', TEST, 'months', { above: 0, max: 1200 }),
  retestPolicy: word('retest_policy', 'Retest policy', TEST, RETEST_POLICIES),
  canBeIsolated: word('can_be_isolated', 'Can be isolated', TEST, ISOLATION),
  connectedTo: text('connected_to', 'Connected to', WHAT),
  tag: text('tag', 'Tag', PLACE),
  locationText: text('location_text', 'Location', PLACE, 1000),
  usualLine: text('usual_line', 'Usual line of the stakes', TEST),
  usualCurrentProbeM: number('usual_current_probe_m', 'Usual current probe distance', TEST, 'm', lengthM),
  hazards: text('hazards', 'Hazards', TEST, 1000),
  latitude: number('latitude', 'Latitude', PLACE, 'deg', { min: -90, max: 90 }),
  longitude: number('longitude', 'Longitude', PLACE, 'deg', { min: -180, max: 180 }),
  timeZone: zone('time_zone', 'Time zone', PLACE),
  notes: text('notes', 'Notes', WHAT, 4000),
}

export const LIMIT_FIELDS: FieldsOf<Limit> = {
  electrodeId: id('electrode_id', 'Electrode', LIMIT),
  purpose: id('purpose', 'What the limit is for', LIMIT),
  limitOhm: number('limit_ohm', 'Acceptance limit', LIMIT, 'ohm', ohms),
  appliesTo: word('applies_to', 'Limit applies to', LIMIT, ['electrode-alone', 'connected']),
  seasonFactor: number('season_factor', 'Season factor', LIMIT, 'none', { above: 0, max: 100 }),
  basis: text('basis', 'Where the limit comes from', LIMIT),
  edition: text('edition', 'Edition', LIMIT),
  validFrom: day('valid_from', 'Valid from', LIMIT),
}

const INSTRUMENT = 'instrument'
export const CALIBRATION_FIELDS: FieldsOf<Calibration> = {
  instrumentId: id('instrument_id', 'Instrument', INSTRUMENT),
  calibratedOn: day('calibrated_on', 'Calibrated on', INSTRUMENT),
  calibrationDueOn: day('calibration_due_on', 'Calibration due on', INSTRUMENT),
  accuracyPercent: number('accuracy_percent', 'Accuracy', INSTRUMENT, '%', { min: 0, max: 100 }),
  accuracyDigits: number('accuracy_digits', 'Accuracy, digits of the display', INSTRUMENT, 'none', {
    min: 0,
    max: 10_000,
  }),
  resolutionOhm: number('resolution_ohm', 'Resolution', INSTRUMENT, 'ohm', ohms),
  rangeMaxOhm: number('range_max_ohm', 'End of the range', INSTRUMENT, 'ohm', ohms),
  serial: text('serial', 'Serial number', INSTRUMENT),
  certificate: text('certificate', 'Certificate', INSTRUMENT),
}

const WORK = 'work'
export const WORK_FIELDS: FieldsOf<Work> = {
  electrodeId: id('electrode_id', 'Electrode', WORK),
  doneOn: day('done_on', 'Done on', WORK),
  what: word('what', 'What was done', WORK, WORK_KINDS),
  notes: text('notes', 'Notes', WORK, 4000),
}
