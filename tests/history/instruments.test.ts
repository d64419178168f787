import { describe, expect, it } from 'vitest'
import { assessInstruments, type InstrumentInput } from '../../shared-lib/history/assess-instruments.ts'
import { readEvidence } from '../../shared-lib/history/evidence.ts'
import { resistorCheckOf } from '../../shared-lib/history/resistor-check.ts'
import type { Survey } from '../../shared-lib/survey/survey.ts'

const check = (day: string, ohm: number, more: Partial<Survey> = {}): Survey => ({
  surveyRef: `C-${day}`,
  testedAt: `${day}T07:00:00Z`,
  method: 'check-resistor',
  outcome: 'tested',
  measuredAs: 'not-known',
  instrumentId: 'I-1',
  knownOhm: 10,
  readings: [{ resistanceOhm: ohm, condition: 'ok' }],
  ...more,
})
const checks = (...list: Survey[]) => list.map((s) => resistorCheckOf(s)!)
const assessInstrument = (one: InstrumentInput) => assessInstruments([one])
const calibrations = [{ instrumentId: 'I-1', calibratedOn: '2013-06-01' }]
const visit = (day: number, residual: number, ref = `R-${day}`) => ({
  instrumentId: 'I-1',
  siteId: `S-${day % 3}`,
  day,
  visitDay: day,
  residual,
  ...{ ownVar: 0.002, sharedVar: 0.008, other: null },
  tests: [{ electrodeId: 'E', surveyRef: ref }],
})
const input = { instrumentId: 'I-1', calibrations, checks: [], residuals: [] }

describe('a known resistor', () => {
  it('tells the bias as read over known, with the doubt of display and resistor only', () => {
    const sign = resistorCheckOf(check('2014-03-01', 11))!
    expect(sign.residual).toBeCloseTo(Math.log(1.1), 10)
    expect(Math.sqrt(sign.variance)).toBeLessThan(0.01)
  })

  it('is none without a value, a reading, an instrument, or when it is another test', () => {
    for (const more of [
      { knownOhm: 0 },
      { instrumentId: '' },
      { readings: [{ condition: 'over-range' as const }] },
      { method: 'two-point' as const },
    ])
      expect(resistorCheckOf(check('2014-03-01', 11, more))).toBeNull()
  })

  it('names a bias of 12 % at once that visits alone would leave hidden', () => {
    const residuals = [visit(16_120, 0.1), visit(16_150, 0.12)]
    expect(assessInstrument({ ...input, residuals })).toEqual([])
    const found = assessInstrument({ ...input, residuals, checks: checks(check('2014-02-01', 11.2)) })
    expect(found.map((f) => f.surveyRef)).toEqual(['R-16120', 'R-16150'])
    expect(found[0]!.finding.message).toMatch(/known resistor read 12 % off on 2014-02-01/)
  })

  it('outweighs visits that all look high when it reads right', () => {
    const residuals = [0, 1, 2, 3].map((i) => visit(16_120 + 30 * i, 0.2))
    expect(assessInstrument({ ...input, residuals }).length).toBeGreaterThan(0)
    const right = ['2014-02-20', '2014-03-20', '2014-04-25', '2014-05-25'].map((d) => check(d, 10))
    expect(assessInstrument({ ...input, residuals, checks: checks(...right) })).toEqual([])
  })
})

describe('an instrument judged over its visits', () => {
  const residuals = [0, 1, 2, 3, 4].map((i) => visit(16_120 + 30 * i, i > 1 ? 0.25 : 0.02))
  it('carries each visit with its doubt as evidence', () => {
    const found = assessInstrument({ ...input, residuals, parametersVersion: 'p-1' })
    const { instrument, parametersVersion } = readEvidence(found.at(-1)!.finding.evidence)
    expect(instrument).toMatchObject({ instrumentId: 'I-1', calibratedOn: '2013-06-01' })
    expect(instrument!.visits).toHaveLength(5)
    expect(parametersVersion).toBe('p-1')
  })
  it('does not show the order in which its visits were given', () => {
    expect(assessInstrument({ ...input, residuals: residuals.toReversed() })).toEqual(
      assessInstrument({ ...input, residuals }),
    )
  })
})

describe('two instruments at the same visits', () => {
  const calibrated = (instrumentId: string) => [{ instrumentId, calibratedOn: '2013-06-01' }]
  /** I-1 reads `ln` off what I-2 reads beside it, under weather that lifts both. */
  const beside = (ln: number, weather: readonly number[]) => {
    const of = (instrumentId: string, mine: number, others: number) =>
      weather.map((w, i) => ({
        ...visit(16_000 + 40 * i, w + mine, `${instrumentId}-${i}`),
        instrumentId,
        other: { instrumentId: instrumentId === 'I-1' ? 'I-2' : 'I-1', residual: w + others, ownVar: 0.002 },
      }))
    return assessInstruments([
      { instrumentId: 'I-1', residuals: of('I-1', ln, 0), calibrations: calibrated('I-1'), checks: [] },
      { instrumentId: 'I-2', residuals: of('I-2', 0, ln), calibrations: calibrated('I-2'), checks: [] },
    ]).map((f) => f.finding.evidence.instrument)
  }
  const named = (found: ReturnType<typeof beside>) => [
    ...new Set(found.map((i) => (i as { instrumentId: string }).instrumentId)),
  ]

  it('tell which of them is off, though the difference is the same for both', () => {
    expect(named(beside(0.2, [0.01, -0.04, 0.03, 0.02]))).toEqual(['I-1'])
  })
  it('are both believed where they agree, though the weather lifts both', () => {
    expect(named(beside(0, [0.13, 0.15, 0.12, 0.14]))).toEqual([])
  })
})
