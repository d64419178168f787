import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { contentHash, contentText, surveyId } from '../../shared-lib/survey/content-id.ts'
import type { Reading, Survey } from '../../shared-lib/survey/survey.ts'
import { aSurvey } from './surveys.ts'

describe('contentHash', () => {
  const hash = contentHash(aSurvey)

  it('does not see the order of keys or of readings', () => {
    const turned = Object.fromEntries(Object.entries(aSurvey).reverse()) as unknown as Survey
    expect(contentHash({ ...turned, readings: [...aSurvey.readings].reverse() })).toBe(hash)
  })

  it('does not see the offset in which one moment is written, nor the notes', () => {
    expect(contentHash({ ...aSurvey, testedAt: '2026-05-04T09:20:00Z', notes: 'wind' })).toBe(hash)
  })

  it('does not see how a unit was converted', () => {
    const [first, ...others] = aSurvey.readings
    expect(
      contentHash({ ...aSurvey, readings: [{ ...first!, potentialProbeM: 15.600000000001 }, ...others] }),
    ).toBe(hash)
  })

  it('sees every other change', () => {
    const [first, ...others] = aSurvey.readings
    const changed: Survey[] = [
      { ...aSurvey, surveyRef: 'S-2' },
      { ...aSurvey, testedAt: '2026-05-04T10:20:01+01:00' },
      { ...aSurvey, tester: 'B. Crew' },
      { ...aSurvey, corrects: 'S-0' },
      { ...aSurvey, readings: others },
      { ...aSurvey, readings: [{ ...first!, resistanceOhm: 10.9001 }, ...others] },
      { ...aSurvey, readings: [first!, first!, ...others] },
    ]
    expect(new Set([hash, ...changed.map(contentHash)]).size).toBe(changed.length + 1)
  })
})

/** The rule of the canonical text, written out plainly: stored surveys carry its hash, so it may never come out otherwise. */
function textByTheRule(survey: Survey): string {
  const plain = (source: object) =>
    Object.fromEntries(
      Object.entries(source)
        .filter(([key, value]) => value !== undefined && key !== 'notes' && key !== 'readings')
        .sort(([a], [b]) => (a < b ? -1 : 1))
        .map(([key, value]) => {
          if (typeof value === 'number') return [key, Number(value.toPrecision(9)) + 0]
          const text = String(value).normalize('NFC').trim()
          const isMoment = ['testedAt', 'linkOpenedAt', 'linkClosedAt'].includes(key)
          const atMs = isMoment ? Date.parse(text) : Number.NaN
          return [key, Number.isNaN(atMs) ? text : new Date(atMs).toISOString()]
        }),
    )
  const place = (r: Record<string, unknown>) => Number(r.potentialProbeM ?? r.probeSpacingM ?? 0)
  const readings = survey.readings
    .map(plain)
    .sort(
      (a, b) =>
        place(a) - place(b) ||
        (JSON.stringify(a) < JSON.stringify(b) ? -1 : JSON.stringify(a) > JSON.stringify(b) ? 1 : 0),
    )
  return JSON.stringify([plain(survey), readings])
}

describe('contentText', () => {
  const number = fc.oneof(
    fc.double({ noNaN: true, noDefaultInfinity: true }),
    fc.integer({ min: -200_000, max: 200_000 }).map((n) => n / 100),
    fc.constantFrom(0, -0, 99_999.9999, 100_000, 1e-7, 12.34567, 1e21, 15.600000000001),
  )
  const words = fc.oneof(
    fc.string({ unit: 'binary' }),
    fc.string(),
    fc.constantFrom(' E-1', 'E-1 ', '', ' ', 'a"b', 'a\\b', 'e\u0301', '\u2028', 'x\u007f', '\ud800'),
  )
  const moment = fc.oneof(
    words,
    fc
      .date({
        noInvalidDate: true,
        min: new Date('0000-01-01T00:00:00Z'),
        max: new Date('9999-12-31T00:00:00Z'),
      })
      .map((d) => `${d.toISOString().slice(0, 19)}Z`),
    fc.constantFrom(
      '2026-05-04T10:20:00+01:00',
      '2026-02-30T10:00:00Z',
      '2026-05-04T24:00:00Z',
      '2026-05-00T10:00:00Z',
      '2026-13-01T10:00:00Z',
      '2026-05-04',
      ' 2026-05-04T10:20:00Z',
    ),
  )
  const field = (of: fc.Arbitrary<unknown>) => fc.option(of, { nil: undefined })
  const reading = fc.record({
    condition: fc.constantFrom('ok', 'over-range'),
    potentialProbeM: field(number),
    probeSpacingM: field(number),
    resistanceOhm: field(number),
  }) as fc.Arbitrary<Reading>
  const survey = fc.record({
    surveyRef: words,
    testedAt: moment,
    electrodeId: field(words),
    tester: field(words),
    notes: field(words),
    linkOpenedAt: field(moment),
    currentProbeM: field(number),
    readings: fc.array(reading, { maxLength: 4 }),
  }) as unknown as fc.Arbitrary<Survey>

  it('is by the rule for any survey, however its fields were set', () => {
    fc.assert(
      fc.property(survey, (any) => {
        expect(contentText(any)).toBe(textByTheRule(any))
        const turned = Object.fromEntries(Object.entries(any).reverse()) as unknown as Survey
        expect(contentText(turned)).toBe(textByTheRule(any))
      }),
      { numRuns: 2000 },
    )
  })
})

describe('surveyId', () => {
  it('is safe in a URL and differs by kind, subject and reference', () => {
    fc.assert(
      fc.property(fc.string(), fc.string(), fc.string(), fc.string(), (id, ref, otherId, otherRef) => {
        fc.pre(id.normalize('NFC').trim() !== otherId.normalize('NFC').trim())
        fc.pre(ref.normalize('NFC').trim() !== otherRef.normalize('NFC').trim())
        const ids = [
          surveyId({ kind: 'electrode', id }, ref),
          surveyId({ kind: 'site', id }, ref),
          surveyId({ kind: 'electrode', id: otherId }, ref),
          surveyId({ kind: 'electrode', id }, otherRef),
        ]
        expect(new Set(ids).size).toBe(4)
        for (const each of ids) expect(each).toMatch(/^[0-9a-f]{32}$/)
      }),
    )
  })

  it('is the same for one name composed or decomposed', () => {
    expect(surveyId({ kind: 'electrode', id: 'E-\u00e9' }, 'S')).toBe(
      surveyId({ kind: 'electrode', id: 'E-e\u0301' }, 'S'),
    )
  })
})
