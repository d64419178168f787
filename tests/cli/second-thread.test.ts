import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { type ComparedBy, compareSite, type SiteTests } from '../../functions/cli/check/compare-site.ts'
import { judgeSurvey, type ToJudge } from '../../functions/cli/check/judge-survey.ts'
import { type SecondThread, startSecondThread } from '../../functions/cli/check/second-thread.ts'
import { defaultParameters } from '../../shared-lib/history/parameters.ts'
import { ROD, testOf } from '../history/examples.ts'

const by: ComparedBy = { calibrations: new Map(), parameters: defaultParameters, asOfMs: undefined }
const register = {
  electrodes: new Map([['E-0', { ...ROD, electrodeId: 'E-0', limitOhm: 10 }]]),
  limits: new Map(),
  calibrations: new Map(),
  works: new Map(),
  soils: new Map(),
  readAtMs: Date.parse('2030-01-01'),
}
let second: SecondThread
beforeEach(() => {
  second = startSecondThread({ register, by })
})
afterEach(() => second.close())

const toJudge = (electrodeId: string, ohm: number): ToJudge => ({
  survey: {
    surveyRef: `${electrodeId} ${ohm}`,
    electrodeId,
    testedAt: '2024-05-06T10:00:00Z',
    method: 'fall-of-potential',
    outcome: 'tested',
    measuredAs: 'electrode-alone',
    currentProbeM: 30,
    readings: [15.6, 18.6, 21.6].map((potentialProbeM, i) => ({
      condition: 'ok',
      potentialProbeM,
      resistanceOhm: ohm + i,
    })),
  },
  row: 2,
})

/** Four rods of one site, tested every year; the last test of the first one has risen by `rise`. */
function siteOf(rise: number): SiteTests {
  const electrodes = [0, 1, 2, 3].map((e) => {
    const electrodeId = `E-${e}`
    const tests = [0, 1, 2, 3, 4].map((year) => {
      const ohm = (20 + 5 * e) * (1 + 0.01 * (((e * 7 + year * 3) % 5) - 2))
      return testOf(`${2018 + year}-05-0${1 + e}`, e === 0 && year === 4 ? ohm * rise : ohm, {
        surveyRef: `${e}-${year}`,
        electrodeId,
        instrumentId: 'I-1',
      })
    })
    return {
      electrode: { ...ROD, electrodeId },
      works: [],
      tests: tests.map((test) => JSON.stringify(test)),
      records: tests.map((_, year) => 10 * e + year),
    }
  })
  return { electrodes }
}

describe('the second thread', () => {
  it('judges as this thread does, and holds what is not in the register', async () => {
    const surveys = [toJudge('E-0', 9), toJudge('E-0', 40), toJudge('E-9', 9)]
    const lines = await second.judge(surveys)
    expect(lines).toEqual(surveys.map((one) => judgeSurvey(one, register)))
    expect(lines.map(({ judged }) => judged?.severities ?? null)).toEqual([
      expect.anything(),
      expect.arrayContaining(['warning']),
      null,
    ])
    expect(JSON.parse(lines[2]!.line)).toMatchObject({ kind: 'held', electrodeId: 'E-9', row: 2 })
  })

  it('compares sites as this thread does, each answer for the site that was asked', async () => {
    const sites = [1, 1.8, 1, 3].map(siteOf)
    const found = await Promise.all(sites.map((site) => second.compare(site)))
    expect(found).toEqual(sites.map((site) => compareSite(site, by)))
    expect(found[1]!.findings.find(([record]) => record === 4)?.[1]).toContain('step-rise')
    expect(found[0]!.findings.some(([record]) => record === 4)).toBe(false)
    expect(found[1]!.seen.flatMap((visit) => visit.tests.map((test) => test.record))).toContain(31)
  })

  it('tells of a site that cannot be read instead of waiting for ever', async () => {
    const broken = siteOf(1)
    broken.electrodes[0]!.tests[0] = '{'
    const [first, then] = await Promise.allSettled([second.compare(broken), second.compare(siteOf(1))])
    expect(first.status).toBe('rejected')
    expect(then.status).toBe('rejected')
    await expect(second.judge([toJudge('E-0', 9)])).rejects.toThrow(SyntaxError)
  })
})
