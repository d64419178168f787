import { describe, expect, it } from 'vitest'
import * as z from 'zod'
import {
  parseCalibration,
  parseElectrode,
  parseLimit,
  parseSurvey,
  parseWork,
  surveySchema,
} from '../../shared-lib/survey/schema.ts'
import { aSurvey, longFile, read, threeRows } from './surveys.ts'

const bodyOfContract = {
  surveyRef: 'S-1042',
  electrodeId: 'E-7',
  testedAt: '2026-05-04T10:20:00+01:00',
  method: 'fall-of-potential',
  currentProbeM: 30,
  instrumentId: 'I-3',
  tester: '…',
  measuredAs: 'electrode-alone',
  soilState: 'moist',
  readings: [
    { potentialProbeM: 15.6, resistanceOhm: 10.9 },
    { potentialProbeM: 18.6, resistanceOhm: 11.0 },
    { potentialProbeM: 21.6, condition: 'over-range' },
  ],
}

const problems = (json: unknown) => {
  const parsed = parseSurvey(json)
  return parsed.ok ? [] : parsed.problems.map(({ path, code }) => [path.join('.'), code])
}

describe('the JSON of a survey', () => {
  it('of the contract is taken, defaults filled in', () => {
    const parsed = parseSurvey(bodyOfContract)
    expect(parsed).toEqual({
      ok: true,
      survey: {
        ...bodyOfContract,
        outcome: 'tested',
        readings: [
          { potentialProbeM: 15.6, resistanceOhm: 10.9, condition: 'ok' },
          { potentialProbeM: 18.6, resistanceOhm: 11, condition: 'ok' },
          { potentialProbeM: 21.6, condition: 'over-range' },
        ],
      },
    })
  })

  it('gives the same survey as the CSV of the same survey', () => {
    const [fromCsv] = read(longFile(...threeRows('S-1042'))).surveys
    const { tester: _tester, measuredAs: _measuredAs, ...json } = aSurvey
    expect(parseSurvey(json)).toEqual({ ok: true, survey: fromCsv })
  })

  it('reads a time without offset in the zone it is given', () => {
    const json = { ...bodyOfContract, testedAt: '2026-05-04T10:20' }
    expect(parseSurvey(json, { timeZone: 'Europe/Vienna' })).toMatchObject({
      survey: { testedAt: '2026-05-04T10:20:00+02:00' },
    })
    expect(parseSurvey(json, { timeZone: 'Mars/X' })).toMatchObject({
      problems: [{ path: ['testedAt'], code: 'bad-time-zone' }],
    })
  })

  it.each([
    [{ currentProbeM: '30' }, 'currentProbeM', 'wrong-type'],
    [{ currentProbeM: null }, 'currentProbeM', 'wrong-type'],
    [{ currentProbeM: Number.NaN }, 'currentProbeM', 'wrong-type'],
    [{ currentProbeM: 0 }, 'currentProbeM', 'out-of-range'],
    [{ method: 'guess' }, 'method', 'unknown-word'],
    [{ method: 3 }, 'method', 'wrong-type'],
    [{ testedAt: '04/05/2026' }, 'testedAt', 'bad-date'],
    [{ testedAt: '' }, 'testedAt', 'bad-date'],
    [{ testedAt: undefined }, 'testedAt', 'missing-value'],
    [{ surveyRef: ' ' }, 'surveyRef', 'missing-value'],
    [{ surveyRef: 'S'.repeat(101) }, 'surveyRef', 'too-long'],
    [{ surveyRef: 'a\nb' }, 'surveyRef', 'odd-character'],
    [{ notes: '\ud800' }, 'notes', 'odd-character'],
    [{ colour: 'red' }, 'colour', 'unknown-field'],
    [{ electrodeId: undefined }, 'electrodeId', 'field-needed'],
    [{ currentProbeM: undefined }, 'currentProbeM', 'field-needed'],
    [{ readings: [] }, 'readings', 'no-readings'],
    [{ readings: {} }, 'readings', 'wrong-type'],
    [{ readings: [7] }, 'readings.0', 'wrong-type'],
    [
      { readings: Array(1001).fill({ potentialProbeM: 1, resistanceOhm: 1 }) },
      'readings',
      'too-many-readings',
    ],
    [{ readings: [{ potentialProbeM: 18, resistanceOhm: -1 }] }, 'readings.0.resistanceOhm', 'out-of-range'],
    [{ readings: [{ potentialProbeM: 18 }] }, 'readings.0.resistanceOhm', 'missing-value'],
    [{ readings: [{ potentialProbeM: 31, resistanceOhm: 1 }] }, 'readings.0.potentialProbeM', 'probe-beyond'],
    [{ outcome: 'no-access' }, 'outcome', 'readings-not-expected'],
  ])('with %j is refused at %s as %s', (change, path, code) => {
    expect(problems({ ...bodyOfContract, ...change })).toEqual([[path, code]])
  })

  it.each([null, undefined, 5, 'text', [], [bodyOfContract]])('%j is refused as no object', (json) => {
    expect(problems(json)).toEqual(
      [['', 'wrong-type']].map(([path]) => [path, json === undefined ? 'missing-value' : 'wrong-type']),
    )
  })

  it('with an object in place of a text is refused, whatever the object holds', () => {
    // Found by the fuzzer of the API: an object whose `toString` is no function cannot be made a text by String().
    for (const value of [{ toString: null }, { toJSON: 1 }, [], [[]], { valueOf: 'x', toString: 3 }]) {
      const read = parseSurvey({ surveyRef: value })
      expect(read.ok).toBe(false)
    }
  })

  it('tells all problems at once, in sentences', () => {
    const parsed = parseSurvey({ ...bodyOfContract, method: 'guess', currentProbeM: '30', x: 1 })
    if (parsed.ok) throw new Error('was taken')
    expect(parsed.problems).toHaveLength(3)
    for (const { problem } of parsed.problems) expect(problem).toMatch(/\.$/)
  })

  it('cannot reach into the language by a key', () => {
    expect(problems(JSON.parse('{"__proto__":{"electrodeId":"E"}}'))).toContainEqual([
      '__proto__',
      'unknown-field',
    ])
    expect(problems({ ...bodyOfContract, constructor: 1 })).toEqual([['constructor', 'unknown-field']])
  })

  it('can be described as JSON schema', () => {
    const schema = z.toJSONSchema(surveySchema, { io: 'input' })
    expect(schema).toMatchObject({ required: ['surveyRef', 'testedAt'], additionalProperties: false })
    expect(schema.properties?.currentProbeM).toMatchObject({ type: 'number', exclusiveMinimum: 0 })
  })
})

describe('the JSON of the register', () => {
  it('takes an electrode, a limit, a calibration and a work', () => {
    expect(
      parseElectrode({ electrodeId: 'E', siteId: 'N', kind: 'rod', lengthM: 3, installedOn: '1998' }),
    ).toEqual({
      ok: true,
      item: { electrodeId: 'E', siteId: 'N', kind: 'rod', lengthM: 3, installedOn: '1998-01-01' },
    })
    expect(parseLimit({ electrodeId: 'E', purpose: 'neutral', limitOhm: 5 })).toMatchObject({ ok: true })
    expect(parseCalibration({ instrumentId: 'I', calibratedOn: '2025-01-01' })).toMatchObject({ ok: true })
    expect(parseWork({ electrodeId: 'E', doneOn: '2025-01-01', what: 'stolen' })).toMatchObject({ ok: true })
  })

  it('refuses what is missing, misspelt or out of bounds', () => {
    const parsed = parseElectrode({
      electrodeId: 'E',
      kind: 'pole',
      count: 1.5,
      timeZone: 'Mars/X',
      lenghtM: 3,
    })
    if (parsed.ok) throw new Error('was taken')
    expect(parsed.problems.map(({ path, code }) => [path.join('.'), code]).sort()).toEqual([
      ['count', 'wrong-type'],
      ['kind', 'unknown-word'],
      ['lenghtM', 'unknown-field'],
      ['siteId', 'missing-value'],
      ['timeZone', 'bad-time-zone'],
    ])
  })
})
