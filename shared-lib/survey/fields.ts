import { type FieldFor, id, instant, number, text, word } from './field-types.ts'
import {
  CONDITIONS,
  CONNECTIONS,
  DISTANCE_ORIGINS,
  EVENTS,
  LEAD_LAYOUTS,
  LINK_CHECKS,
  MEASURED_AS,
  METHODS,
  OUTCOMES,
  PURPOSES,
  type Reading,
  SOIL_STATES,
  type Survey,
  VISUALS,
} from './survey.ts'

/**
 * The catalogue of every survey column. To add one: a property of `Survey` or `Reading`, and one line here (the compiler asks
 * for it). Bounds refuse what cannot be; what is merely unlikely is for the judgement to find.
 */

const NEEDED = 'needed'
const DONE = 'what was done'
const CONNECTED = 'what was connected'
const READING = 'reading'
const SET_UP = 'set-up'
const WHO = 'who, with what'
const GROUND = 'ground and weather'
const SAFE = 'made safe again'
const SEEN = 'seen'

/** Order of the headings on a form, a record and in a document. */
export const SURVEY_GROUPS = [NEEDED, DONE, CONNECTED, READING, SET_UP, WHO, GROUND, SAFE, SEEN] as const

const distanceM = { above: 0, max: 20_000 } as const
const ohms = { above: 0, max: 1e9 } as const
const ohmsOrNone = { min: 0, max: 1e9 } as const

/** One line a column of a survey; key = name in `Survey` and in JSON. */
export const SURVEY_FIELDS: {
  readonly [K in Exclude<keyof Survey, 'readings'>]-?: FieldFor<NonNullable<Survey[K]>>
} = {
  surveyRef: id('survey_ref', 'Survey reference', NEEDED),
  electrodeId: id('electrode_id', 'Electrode', NEEDED),
  siteId: id('site_id', 'Site', NEEDED),
  testedAt: instant('tested_at', 'Tested at', NEEDED),
  method: word('method', 'Method', DONE, METHODS),
  purpose: word('purpose', 'Why the test was made', DONE, PURPOSES),
  outcome: word('outcome', 'Outcome', DONE, OUTCOMES),
  repeatOf: id('repeat_of', 'Repeat of survey', DONE),
  secondDirectionOf: id('second_direction_of', 'Second direction of survey', DONE),
  corrects: id('corrects', 'Corrects survey', DONE),
  measuredAs: word('measured_as', 'What was connected while measuring', CONNECTED, MEASURED_AS),
  currentProbeM: number('current_probe_m', 'Distance of the current probe', NEEDED, 'm', distanceM),
  knownOhm: number('known_ohm', 'Value of the check resistor or known earth', DONE, 'ohm', ohms),
  leadAngleDeg: number('lead_angle_deg', 'Angle between the two leads', SET_UP, 'deg', { min: 0, max: 180 }),
  probeHOhm: number('probe_h_ohm', 'Resistance of the current probe', SET_UP, 'ohm', ohmsOrNone),
  probeSOhm: number('probe_s_ohm', 'Resistance of the potential probe', SET_UP, 'ohm', ohmsOrNone),
  interferenceV: number('interference_v', 'Stray voltage', SET_UP, 'V', { min: 0, max: 100_000 }),
  testFrequencyHz: number('test_frequency_hz', 'Test frequency', SET_UP, 'Hz', { min: 0, max: 1e8 }),
  testCurrentMa: number('test_current_ma', 'Test current', SET_UP, 'mA', { min: 0, max: 1e7 }),
  connection: word('connection', 'Connection to the electrode', SET_UP, CONNECTIONS),
  earthLeadOhm: number('earth_lead_ohm', 'Resistance of the earth lead', SET_UP, 'ohm', ohmsOrNone),
  distanceFrom: word('distance_from', 'Distances measured from', SET_UP, DISTANCE_ORIGINS),
  lineDirection: text('line_direction', 'Direction of the stakes', SET_UP),
  leads: word('leads', 'How the leads lay', SET_UP, LEAD_LAYOUTS),
  leadResistanceOhm: number('lead_resistance_ohm', 'Resistance of the leads', SET_UP, 'ohm', ohmsOrNone),
  fromPoint: text('from_point', 'From point', DONE),
  toPoint: text('to_point', 'To point', DONE),
  instrumentId: id('instrument_id', 'Instrument', WHO),
  tester: text('tester', 'Tester', WHO),
  secondPerson: text('second_person', 'Second person', WHO),
  witness: text('witness', 'Witness', WHO),
  permitRef: text('permit_ref', 'Permit', WHO),
  personInControl: text('person_in_control', 'Person in control of the work', WHO),
  soilState: word('soil_state', 'Soil', GROUND, SOIL_STATES),
  soilTemperatureC: number('soil_temperature_c', 'Soil temperature', GROUND, 'C', { min: -70, max: 90 }),
  airTemperatureC: number('air_temperature_c', 'Air temperature', GROUND, 'C', { min: -90, max: 70 }),
  rainLast48h: text('rain_last_48h', 'Rain in the last 48 hours', GROUND),
  linkOpenedAt: instant('link_opened_at', 'Earth link opened at', SAFE),
  linkClosedAt: instant('link_closed_at', 'Earth link closed at', SAFE),
  linkChecked: word('link_checked', 'Earth link checked', SAFE, LINK_CHECKS),
  restoredBy: text('restored_by', 'Earth put back by', SAFE),
  visual: word('visual', 'What the electrode looked like', SEEN, VISUALS),
  event: word('event', 'Done to the electrode since the last survey', SEEN, EVENTS),
  notes: text('notes', 'Notes', SEEN, 4000),
}

/** One line a column of a reading; key = name in `Reading` and in JSON. */
export const READING_FIELDS: { readonly [K in keyof Reading]-?: FieldFor<NonNullable<Reading[K]>> } = {
  potentialProbeM: number('potential_probe_m', 'Distance of the potential probe', NEEDED, 'm', distanceM),
  resistanceOhm: number('resistance_ohm', 'Resistance', NEEDED, 'ohm', { ...ohms, overRange: true }),
  condition: word('condition', 'Condition of the reading', READING, CONDITIONS),
  atLeastOhm: number('at_least_ohm', 'Over range: at least', READING, 'ohm', ohms),
  probeSpacingM: number('probe_spacing_m', 'Distance between neighbouring stakes', READING, 'm', distanceM),
  probeDepthM: number('probe_depth_m', 'Depth of the stakes', READING, 'm', { min: 0, max: 100 }),
}

export type SurveyKey = keyof typeof SURVEY_FIELDS
export type ReadingKey = keyof typeof READING_FIELDS
