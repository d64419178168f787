import fc from 'fast-check'
import { contentHash } from '../../shared-lib/survey/content-id.ts'
import type { ReadOptions } from '../../shared-lib/survey/file-plan.ts'
import { readSurveys, readSurveysFromText, type SurveyEntry } from '../../shared-lib/survey/read-surveys.ts'
import type { Refused } from '../../shared-lib/survey/refused.ts'
import { scanSurveyFile } from '../../shared-lib/survey/scan.ts'
import type { OpenSource } from '../../shared-lib/survey/source.ts'
import {
  CONDITIONS,
  MEASURED_AS,
  type Reading,
  SOIL_STATES,
  type Survey,
} from '../../shared-lib/survey/survey.ts'

/** Surveys and small helpers for the tests of this folder. */

export const aSurvey: Survey = {
  surveyRef: 'S-1042',
  electrodeId: 'E-7',
  testedAt: '2026-05-04T10:20:00+01:00',
  method: 'fall-of-potential',
  outcome: 'tested',
  measuredAs: 'electrode-alone',
  currentProbeM: 30,
  tester: 'A. Crew',
  readings: [
    { potentialProbeM: 15.6, resistanceOhm: 10.9, condition: 'ok' },
    { potentialProbeM: 18.6, resistanceOhm: 11, condition: 'ok' },
    { potentialProbeM: 21.6, resistanceOhm: 11.2, condition: 'ok' },
  ],
}

export const HEADER = 'survey_ref,electrode_id,tested_at,current_probe_m,potential_probe_m,resistance_ohm'

/** A file with the needed columns; one text a row. */
export const longFile = (...rows: string[]): string => `${[HEADER, ...rows].join('\n')}\n`

export const threeRows = (ref: string, ohms = ['10.9', '11.0', '11.2']): string[] =>
  ohms.map((ohm, i) => `${ref},E-7,2026-05-04T10:20:00+01:00,30,${[15.6, 18.6, 21.6][i]},${ohm}`)

export interface ReadBack {
  entries: SurveyEntry[]
  surveys: Survey[]
  refused: Refused[]
}

const sorted = (entries: readonly SurveyEntry[]): ReadBack => ({
  entries: [...entries],
  surveys: entries.flatMap((entry) => (entry.kind === 'survey' ? [entry.survey] : [])),
  refused: entries.flatMap((entry) => (entry.kind === 'refused' ? [entry] : [])),
})

export const read = (text: string, options: ReadOptions = {}): ReadBack =>
  sorted(readSurveysFromText(text, options).entries)

/** Resistances of each survey read. */
export const ohms = (text: string, options: ReadOptions = {}) =>
  read(text, options).surveys.map((survey) => survey.readings.map((reading) => reading.resistanceOhm))

/** Positions of the potential probe of each survey read. */
export const positions = (text: string) =>
  read(text).surveys.map((survey) => survey.readings.map((reading) => reading.potentialProbeM))

/** Row, column and code of each refusal. */
export const codes = (text: string, options: ReadOptions = {}) =>
  read(text, options).refused.map(({ row, column, code }) => [row, column, code])

/** Reads a source as the service does: scanned, then read. */
export async function readSource(open: OpenSource): Promise<ReadBack> {
  const scanned = await scanSurveyFile(open)
  if (!scanned.ok) return sorted([scanned.refused])
  const entries: SurveyEntry[] = []
  for await (const entry of readSurveys(open, scanned.plan)) entries.push(entry)
  return sorted(entries)
}

export const hashes = (surveys: readonly Survey[]): string[] => surveys.map(contentHash).sort()

const plainText = fc
  .string({ unit: 'grapheme', maxLength: 30 })
  .map((text) =>
    text
      // biome-ignore lint/suspicious/noControlCharactersInRegex: control characters are refused elsewhere
      .replace(/[\u0000-\u001f\u007f-\u009f\u2028\u2029\ufffe\uffff\ufeff]/g, '')
      .toWellFormed()
      .normalize('NFC')
      .trim(),
  )
  .filter((text) => text !== '' && text.length <= 90)

const ohm = fc.integer({ min: 1, max: 2_000_000 }).map((n) => n / 1000)

const readingArb: fc.Arbitrary<Reading> = fc
  .record({ potentialProbeM: fc.integer({ min: 1, max: 290 }).map((n) => n / 10) })
  .chain(({ potentialProbeM }) =>
    fc.oneof(
      ohm.map((resistanceOhm): Reading => ({ potentialProbeM, resistanceOhm, condition: 'ok' })),
      fc.constantFrom(...CONDITIONS.slice(1)).map((condition): Reading => ({ potentialProbeM, condition })),
      ohm.map((atLeastOhm): Reading => ({ potentialProbeM, condition: 'over-range', atLeastOhm })),
    ),
  )

/** A survey with a reference of its own number, any text in its free fields. */
export const surveyArb = (surveyRef: string): fc.Arbitrary<Survey> =>
  fc
    .record(
      {
        electrodeId: plainText,
        atMinute: fc.integer({ min: 0, max: 5_000_000 }),
        measuredAs: fc.constantFrom(...MEASURED_AS),
        tester: plainText,
        notes: fc.tuple(plainText, plainText).map(([a, b]) => `${a}\n${b}`),
        soilState: fc.constantFrom(...SOIL_STATES),
        soilTemperatureC: fc.integer({ min: -300, max: 400 }).map((n) => n / 10),
        readings: fc.array(readingArb, { minLength: 1, maxLength: 5 }),
      },
      { requiredKeys: ['electrodeId', 'atMinute', 'measuredAs', 'readings'] },
    )
    .map(({ atMinute, ...given }) => ({
      surveyRef,
      method: 'fall-of-potential' as const,
      outcome: 'tested' as const,
      testedAt: new Date(Date.UTC(2016, 0, 1) + atMinute * 60_000).toISOString().replace('.000', ''),
      currentProbeM: 30,
      ...given,
    }))
