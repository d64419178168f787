import { describe, expect, it } from 'vitest'
import { evaluateSurvey } from '../../shared-lib/evaluate/evaluate-survey.ts'
import { contextInForce } from '../../shared-lib/evaluate/in-force.ts'
import { defaultParameters } from '../../shared-lib/history/parameters.ts'
import { knownTestOf, recordOf } from '../../shared-lib/ledger/judge-record.ts'
import { judgeSite } from '../../shared-lib/ledger/judge-site.ts'
import { emptyHistory } from '../../shared-lib/ledger/site-history.ts'
import type { Survey } from '../../shared-lib/survey/survey.ts'
import { context, lineSurvey, ROD, SOUND } from './surveys.ts'

const open = (survey: Survey) =>
  evaluateSurvey(survey, context()).findings.filter((f) => f.code === 'electrode-open-suspected')

describe('what the tester saw of the earth', () => {
  it.each(['broken', 'stolen'] as const)('%s is told at once, whatever was measured', (visual) => {
    const [told, ...more] = open({ ...SOUND, visual })
    expect(more).toEqual([])
    expect([told!.severity, told!.probability]).toEqual(['urgent', null])
    expect(told!.message).toContain(
      `saw this earth ${visual}; the 11.0 ohm measured may come by another path. Treat it as missing`,
    )
  })
  it('keeps the value out of the comparison with other tests', () => {
    expect(evaluateSurvey({ ...SOUND, visual: 'broken' }, context()).usableFor).not.toContain('trend')
  })
  it('counts on a visit that could not test, too', () => {
    const visit: Survey = { ...SOUND, outcome: 'unsafe', readings: [], visual: 'stolen' }
    expect(open(visit)[0]!.message).toContain('saw this earth stolen. Treat it as missing')
  })
  it('is one finding when every reading is over range besides', () => {
    const readings = [16, 19, 22].map((potentialProbeM) => ({
      condition: 'over-range' as const,
      potentialProbeM,
    }))
    expect(open({ ...SOUND, readings, visual: 'broken' })).toHaveLength(1)
  })
  it.each(['good', 'loose', 'corroded', 'buried', 'not-seen'] as const)('%s is no open earth', (visual) => {
    expect(open({ ...SOUND, visual })).toEqual([])
  })
})

describe('a test dated after it was handed in', () => {
  const books = { versions: [{ from: '', electrode: ROD }], limits: [], calibrations: [] }
  const codes = (testedAt: string, handedIn: string) => {
    const survey = { ...SOUND, testedAt }
    return evaluateSurvey(survey, contextInForce(survey, books, Date.parse(handedIn))!).findings.map(
      (f) => f.code,
    )
  }
  it('cannot be: a year ahead is a slip of the pen', () => {
    expect(codes('2027-05-04T10:20:00+01:00', '2026-05-05T08:00:00Z')).toContain('impossible-date')
  })
  it('is let pass within a day, for zones, clocks and dates without a time', () => {
    expect(codes('2026-05-05T12:00:00+14:00', '2026-05-04T13:00:00Z')).not.toContain('impossible-date')
    expect(codes('2026-05-04T10:20:00+01:00', '2026-05-04T09:30:00Z')).not.toContain('impossible-date')
  })
  it('does not put off the next test', () => {
    const electrode = { ...ROD, retestMonths: 12 }
    const received = '2026-05-05T08:00:00Z'
    const record = (surveyRef: string, testedAt: string) =>
      knownTestOf(
        recordOf(
          lineSurvey(30, { 52: 10.9, 62: 11, 72: 11.2 }, { surveyRef, testedAt }),
          { via: 'api', by: 'P' },
          received,
          {
            siteId: 'T',
            books: { ...books, versions: [{ from: '', electrode }] },
            booksAt: '',
          },
        ),
        'T',
      )
    const history = {
      ...emptyHistory(electrode),
      tests: [record('S-1', '2026-05-04T10:20:00Z'), record('S-2', '2062-05-04T10:20:00Z')],
    }
    const [judged] = judgeSite([history], [], defaultParameters)
    expect(judged!.next.lastTestedAt).toBe('2026-05-04T10:20:00.000Z')
    expect(judged!.next.dueOn).toBe('2027-05-04')
  })
})
