import { describe, expect, it } from 'vitest'
import { SURVEY_CATALOGUE } from '../../shared-lib/survey/catalogue.ts'
import { READING_FIELDS, SURVEY_FIELDS, SURVEY_GROUPS } from '../../shared-lib/survey/fields.ts'
import { FILE_PROBLEMS, type FileProblemCode, fileSentence } from '../../shared-lib/survey/file-problems.ts'
import { expectationOf, PROBLEMS, type ProblemCode, sentence } from '../../shared-lib/survey/problems.ts'

/** The survey CSV's columns as the contract lists them. */
const CONTRACT =
  `survey_ref electrode_id tested_at current_probe_m potential_probe_m resistance_ohm method purpose outcome repeat_of
second_direction_of known_ohm measured_as condition at_least_ohm lead_angle_deg probe_h_ohm probe_s_ohm interference_v test_frequency_hz
test_current_ma connection earth_lead_ohm distance_from line_direction leads instrument_id tester second_person witness permit_ref
person_in_control soil_state soil_temperature_c air_temperature_c rain_last_48h link_opened_at link_closed_at link_checked restored_by
visual event notes probe_spacing_m probe_depth_m site_id lead_resistance_ohm from_point to_point corrects`.split(
    /\s+/,
  )

const fields = [...Object.entries(SURVEY_FIELDS), ...Object.entries(READING_FIELDS)]

describe('the catalogue of survey columns', () => {
  it('has every column of the contract and no other', () => {
    expect(fields.map(([, { column }]) => column).sort()).toEqual([...CONTRACT].sort())
  })

  it('finds each by its CSV name and by its JSON name', () => {
    for (const [key, { column }] of fields) {
      expect(SURVEY_CATALOGUE.find(column)?.key).toBe(key)
      expect(SURVEY_CATALOGUE.find(key)?.key).toBe(key)
    }
  })

  it('puts each under a heading and gives it words of its own', () => {
    for (const [, { group }] of fields) expect(SURVEY_GROUPS).toContain(group)
    expect(new Set(fields.map(([, { label }]) => label)).size).toBe(fields.length)
  })

  it('never takes a heading for another by its unit', () => {
    expect(SURVEY_CATALOGUE.find('resistance_mohm')?.unit).toBe('mohm')
    expect(SURVEY_CATALOGUE.find('r62_kohm')).toMatchObject({ percent: 62, unit: 'kohm' })
    for (const heading of ['tester_ft', 'lead_angle_ft', 'r_ohm', 'r62', 'r6200_ohm', 'resistance', 'ohm'])
      expect(SURVEY_CATALOGUE.find(heading)).toBeNull()
  })
})

describe('every problem', () => {
  const codes = Object.keys(PROBLEMS) as ProblemCode[]
  const context = {
    name: 'resistance_ohm',
    value: 'abc',
    expected: expectationOf(READING_FIELDS.resistanceOhm),
    detail: 'X',
  }

  it.each(codes)('%s is told in whole sentences that ask for something, with nothing left open', (code) => {
    for (const words of [sentence(code, context), sentence(code)]) expectWhole(words)
  })

  const ofFiles = Object.keys(FILE_PROBLEMS) as FileProblemCode[]
  it.each(ofFiles)('%s of a file is told in whole sentences as well', (code) => {
    for (const words of [fileSentence(code, context), fileSentence(code)]) expectWhole(words)
  })

  function expectWhole(words: string): void {
    expect(words).toMatch(/^[A-Z“r].*\.$/s)
    expect(words).not.toMatch(/undefined|null|please|invalid/i)
  }
})
