import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { assessInstruments } from '../../shared-lib/history/assess-instruments.ts'
import { assessSite, replaySite } from '../../shared-lib/history/assess-site.ts'
import type { ElectrodeRecord, PriorTest, SiteAssessmentInput } from '../../shared-lib/history/assessment.ts'
import { compactTest, restoreTest } from '../../shared-lib/history/compact-test.ts'
import { defaultParameters } from '../../shared-lib/history/parameters.ts'
import { ROD, testOf } from './examples.ts'

const DATES = ['2014-05-02', '2015-10-03', '2016-05-04', '2017-10-05', '2018-05-06', '2019-10-07']

/** Six rods of one site, tested on the same days; each value a little off by a fixed pattern. */
function siteOf(
  change: (id: string, n: number, ohm: number) => number = (_, __, ohm) => ohm,
): ElectrodeRecord[] {
  return Array.from({ length: 6 }, (_, e) => {
    const id = `E-${e}`
    const tests = DATES.map((date, n) => {
      const scatter = 1 + 0.02 * (((e * 7 + n * 3) % 5) - 2) + 0.0013 * n
      const ohm = change(id, n, (24 + 6 * e) * scatter)
      return testOf(date, ohm, { surveyRef: `${id}-${n}`, electrodeId: id, instrumentId: 'I-1' })
    })
    return { electrode: { ...ROD, electrodeId: id }, tests, works: [], decisions: [] }
  })
}

const input = (electrodes: ElectrodeRecord[]): SiteAssessmentInput => ({
  electrodes,
  calibrations: [],
  parameters: defaultParameters,
})
const loud = (site: ReturnType<typeof assessSite>) =>
  Object.entries(site).flatMap(([id, a]) =>
    Object.entries(a.findings).flatMap(([ref, list]) =>
      list.filter((f) => f.severity !== 'notice').map((f) => `${id} ${ref} ${f.code}`),
    ),
  )

describe('a site judged as one', () => {
  it('raises nothing at a sound site', () => {
    expect(loud(assessSite(input(siteOf())))).toEqual([])
  })

  it('raises the one electrode that rises by half while the others stay', () => {
    const site = assessSite(input(siteOf((id, n, ohm) => (id === 'E-2' && n === 5 ? ohm * 1.5 : ohm))))
    expect(loud(site)).toEqual(['E-2 E-2-5 step-rise'])
  })

  it('explains a rise that all share as season or weather, quietly', () => {
    const site = assessSite(input(siteOf((_, n, ohm) => (n === 5 ? ohm * 1.4 : ohm))))
    expect(loud(site)).toEqual([])
    expect(site['E-0']!.findings['E-0-5']!.map((f) => f.code)).toContain('site-wide-shift')
  })

  it('is loud, once for the site, when all rise by more than half and no season explains it', () => {
    const site = assessSite(input(siteOf((_, n, ohm) => (n === 5 ? ohm * 1.8 : ohm))))
    expect(loud(site)).toEqual(['E-0 E-0-5 site-wide-shift'])
    expect(site['E-0']!.findings['E-0-5']![0]!.message).toMatch(/shared conductor/)
    expect(site['E-3']!.findings['E-3-5']![0]).toMatchObject({ code: 'site-wide-shift', severity: 'notice' })
  })

  it('names the two electrodes whose sheets were swapped', () => {
    const records = siteOf()
    const [a, b] = [records[0]!.tests[5]!, records[5]!.tests[5]!]
    const keep = { readings: a.readings, resistanceOhm: a.resistanceOhm }
    Object.assign(a, { readings: b.readings, resistanceOhm: b.resistanceOhm })
    Object.assign(b, keep)
    const site = assessSite(input(records))
    const found = site['E-0']!.findings['E-0-5']!.find((f) => f.code === 'wrong-electrode')
    expect(found?.evidence.fitsElectrode).toBe('E-5')
    expect(loud(site)).toContain('E-5 E-5-5 wrong-electrode')
  })

  it('judges a first test by its size and the soil its neighbours tell', () => {
    const records = siteOf()
    const late = testOf('2019-10-07', 420, { surveyRef: 'N-0', electrodeId: 'N' })
    records.push({ electrode: { ...ROD, electrodeId: 'N' }, tests: [late], works: [], decisions: [] })
    expect(loud(assessSite(input(records)))).toEqual(['N N-0 implausible-for-electrode'])
  })

  it('judges a retest of the same day against the first', () => {
    const records = siteOf((id, n, ohm) => (id === 'E-2' && n === 5 ? ohm * 2 : ohm))
    const again = testOf('2019-10-07', 74, { surveyRef: 'E-2-6', electrodeId: 'E-2' })
    again.testedAtMs += 3_600_000
    records[2]!.tests.push(again)
    const site = assessSite(input(records))
    expect(loud(site)).toEqual(['E-2 E-2-5 step-rise', 'E-2 E-2-6 step-rise'])
    expect(site['E-2']!.findings['E-2-6']![0]!.evidence.confirms).toBe('E-2-5')
  })

  it('takes corrosion that somebody saw as told, without a trend', () => {
    const records = siteOf()
    records[0]!.tests[1]!.visual = 'corroded'
    expect(loud(assessSite(input(records)))).toEqual(['E-0 E-0-1 corrosion-suspected'])
  })

  it('says that recorded work left the earth worse, and takes no step across it', () => {
    const records = siteOf((id, n, ohm) => (id === 'E-1' && n === 5 ? ohm * 1.4 : ohm))
    records[1]!.works = [{ electrodeId: 'E-1', doneOn: '2019-06-01', what: 'repaired' }]
    const site = assessSite(input(records))
    expect(loud(site)).toEqual(['E-1 E-1-5 after-recorded-work'])
    const found = site['E-1']!.findings['E-1-5']!.find((f) => f.code === 'after-recorded-work')
    expect(found?.message).toMatch(/worse than before/)
  })

  it('names a change of line before anything else is made of it', () => {
    const records = siteOf()
    records[0]!.tests.forEach((t, n) => {
      t.lineDirection = n < 5 ? 'north' : 'east'
    })
    const found = assessSite(input(records))['E-0']!.findings['E-0-5']!
    expect(found.map((f) => f.code)).toEqual(['set-up-changed'])
  })

  it('never shows the order of the input', () => {
    const records = siteOf((id, n, ohm) => (id === 'E-1' && n > 3 ? ohm * 1.7 : ohm))
    const before = assessSite(input(records))
    fc.assert(
      fc.property(
        fc.shuffledSubarray(records, { minLength: 6 }),
        fc.integer({ min: 1, max: 5 }),
        (mixed, k) => {
          const turned = mixed.map((r) => ({ ...r, tests: [...r.tests.slice(k), ...r.tests.slice(0, k)] }))
          expect(assessSite(input(turned))).toEqual(before)
        },
      ),
      { numRuns: 20 },
    )
  })

  it('keeps what it said of a visit when a visit more than seven days later comes', () => {
    const records = siteOf((id, n, ohm) => (id === 'E-1' && n > 3 ? ohm * 1.7 : ohm))
    const all = assessSite(input(records))
    const earlier = records.map((r) => ({ ...r, tests: r.tests.slice(0, 5) }))
    const before = assessSite(input(earlier))
    for (const [id, a] of Object.entries(before))
      for (const test of earlier.find((r) => r.electrode.electrodeId === id)!.tests)
        expect(all[id]!.findings[test.surveyRef]).toEqual(a.findings[test.surveyRef])
  })

  it('judges compact tests exactly as whole ones, and they are short', () => {
    const records = siteOf((id, n, ohm) => (id === 'E-1' && n > 3 ? ohm * 1.7 : ohm))
    records[3]!.tests[4]!.event = 'extended'
    records[4]!.tests[2]!.readings[1] = { potentialProbeM: 18.6, condition: 'over-range' }
    const compact = records.map((r) => ({
      ...r,
      tests: r.tests.map((t) => {
        const text = JSON.stringify(compactTest(t))
        expect(text.length).toBeLessThan(160)
        return restoreTest(JSON.parse(text), t.electrodeId, t.siteId)
      }),
    }))
    expect(assessSite(input(compact))).toEqual(assessSite(input(records)))
  })

  it('gives an answer for a site without tests', () => {
    expect(assessSite(input([]))).toEqual({})
    const bare = { electrode: ROD, tests: [] as PriorTest[], works: [], decisions: [] }
    expect(assessSite(input([bare]))['E-1']).toMatchObject({ findings: {}, series: [] })
  })
})

describe('instruments judged over many sites', () => {
  const off = (day: number) => (day > 16_000 ? 0.22 : 0)
  const residuals = Array.from({ length: 8 }, (_, i) => ({
    instrumentId: 'I-1',
    siteId: `S-${i % 4}`,
    day: 15_900 + 40 * i,
    visitDay: 15_900 + 40 * i,
    residual: off(15_900 + 40 * i) + 0.03 * ((i % 3) - 1),
    ...{ ownVar: 0.002, sharedVar: 0.007, other: null },
    tests: [{ electrodeId: `E-${i}`, surveyRef: `R-${i}` }],
  }))
  const calibratedOn = '2013-06-01'
  const seen = { instrumentId: 'I-1', residuals, checks: [] }

  it('names the visits at which an instrument had gone off, and none before', () => {
    const found = assessInstruments([{ ...seen, calibrations: [{ instrumentId: 'I-1', calibratedOn }] }])
    expect(found.map((f) => f.surveyRef)).toContain('R-7')
    expect(found.map((f) => f.surveyRef)).not.toContain('R-1')
    expect(found.at(-1)!.finding.message).toMatch(/too high/)
  })

  it('starts anew at a calibration', () => {
    const recalibrated = [
      { instrumentId: 'I-1', calibratedOn },
      { instrumentId: 'I-1', calibratedOn: '2014-04-15' },
    ]
    const found = assessInstruments([{ ...seen, calibrations: recalibrated }])
    expect(found.map((f) => f.surveyRef)).not.toContain('R-7')
  })

  it('is fed by the replay of a site', () => {
    const { instruments } = replaySite(input(siteOf()))
    expect(instruments.every((r) => r.instrumentId === 'I-1' && Number.isFinite(r.residual))).toBe(true)
    expect(instruments.length).toBeGreaterThan(2)
  })
})
