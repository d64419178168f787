import { describe, expect, it } from 'vitest'
import { READING_FIELDS, SURVEY_FIELDS } from '../../shared-lib/survey/fields.ts'
import type { Survey } from '../../shared-lib/survey/survey.ts'
import { surveyCsvHeader, surveyCsvRows } from '../../shared-lib/survey/write-csv.ts'
import { aSurvey, read } from './surveys.ts'

describe('a survey as CSV', () => {
  it('is in the long form with every column of the catalogue, a row a reading', () => {
    expect(surveyCsvHeader().trim().split(',')).toEqual(
      [...Object.values(SURVEY_FIELDS), ...Object.values(READING_FIELDS)].map(({ column }) => column),
    )
    const rows = surveyCsvRows(aSurvey).trim().split('\r\n')
    expect(rows).toHaveLength(3)
    for (const row of rows) expect(row).toMatch(/^S-1042,E-7,,2026-05-04T10:20:00\+01:00,fall-of-potential/)
  })

  it('guards text that a spreadsheet would run, and reads it back as it was', () => {
    for (const tester of ['=1+1', '+31 6', '-x', '@sum', "'=1", "''-x", "'plain", '＝1']) {
      const survey: Survey = { ...aSurvey, tester }
      const csv = surveyCsvRows(survey)
      if (tester !== "'plain") expect(csv).toContain(`"'${tester}"`)
      expect(read(surveyCsvHeader() + csv).surveys).toEqual([survey])
    }
  })

  it('leaves numbers numbers, also below zero', () => {
    const csv = surveyCsvRows({ ...aSurvey, soilTemperatureC: -4.5 })
    expect(csv).toContain(',-4.5,')
    expect(csv).not.toContain("'")
  })

  it('writes a test that could not be made as one row', () => {
    const none: Survey = { ...aSurvey, outcome: 'no-access', readings: [] }
    expect(surveyCsvRows(none).trim().split('\r\n')).toHaveLength(1)
    expect(read(surveyCsvHeader() + surveyCsvRows(none)).surveys).toEqual([none])
  })

  it('keeps every field of a survey that has them all', () => {
    const full: Record<string, unknown> = { ...aSurvey }
    for (const [key, field] of Object.entries(SURVEY_FIELDS)) {
      if (full[key] !== undefined) continue
      if (field.type === 'number') full[key] = 1.234
      else if (field.type === 'word') full[key] = field.words.at(-1)
      else full[key] = field.type === 'instant' ? '2026-05-04T11:00:00+01:00' : `some ${key}`
    }
    full.readings = [
      { potentialProbeM: 1, condition: 'over-range', atLeastOhm: 2000, probeSpacingM: 2, probeDepthM: 0.1 },
      { potentialProbeM: 0.5, resistanceOhm: 1.234, condition: 'interference' },
    ]
    expect(read(surveyCsvHeader() + surveyCsvRows(full as unknown as Survey)).surveys).toEqual([full])
  })
})
