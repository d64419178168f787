import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { describe, expect, it } from 'vitest'
import { randomFor } from '../../../sample-data/make/random.ts'
import { defaultParameters } from '../../../shared-lib/history/parameters.ts'
import type { Finding, FindingCode } from '../../../shared-lib/survey/finding.ts'
import { judgeAlone, judgeHistories, keyOf } from './judge-fleet.ts'
import { readFleet } from './read-fleet.ts'
import { scoreFleet } from './score-fleet.ts'
import { SETTINGS } from './setting.ts'
import { simulateFleet } from './simulate-fleet.ts'
import { tableOf } from './table.ts'
import type { Truth } from './truth.ts'
import { regionSoil } from './weather.ts'
import { writeFleet } from './write-fleet.ts'

const small = { ...SETTINGS.ordinary!, sites: 6, years: 10 }

describe('the simulated operator', () => {
  it('is the same for the same seed and another for another', () => {
    expect(simulateFleet(small, 1)).toEqual(simulateFleet(small, 1))
    expect(simulateFleet(small, 2).surveys).not.toEqual(simulateFleet(small, 1).surveys)
  })

  it('has one truth for each survey, and plants what it says', () => {
    const fleet = simulateFleet({ ...small, sites: 40 }, 3)
    expect(new Set(fleet.truth.map((t) => t.ref))).toEqual(new Set(fleet.surveys.map((s) => s.surveyRef)))
    const planted = new Set(fleet.truth.flatMap((t) => t.labels.map((l) => l.type)))
    for (const type of ['break', 'corrosion', 'parallel', 'decimal', 'tooclose', 'copied'] as const)
      expect(planted).toContain(type)
    const copied = fleet.truth.find((t) => t.labels.some((l) => l.type === 'copied'))!
    const sheets = fleet.surveys
      .filter((s) => s.electrodeId === copied.electrode)
      .map((s) => JSON.stringify(s.readings))
    expect(new Set(sheets).size).toBeLessThan(sheets.length)
  })

  it('has soil that is drier in summer than in winter, more so near the surface than deep down', () => {
    const soil = regionSoil(3650, SETTINGS.extreme!, randomFor('soil', 5))
    const spread = (x: Float64Array) => Math.sqrt(x.reduce((a, v) => a + v * v, 0) / x.length)
    expect(spread(soil.shallow)).toBeGreaterThan(1.5 * spread(soil.deep))
    expect(soil.frost.some((f) => f > 0.3)).toBe(true)
    expect(Math.max(...regionSoil(3650, SETTINGS.ordinary!, randomFor('soil', 5)).frost)).toBeLessThan(0.3)
  })

  it('reads back from a folder as it was written, and is judged the same', async () => {
    const folder = mkdtempSync(join(tmpdir(), 'stakeline-fleet-'))
    try {
      const fleet = simulateFleet(small, 4)
      writeFleet(folder, fleet)
      const read = await readFleet(folder)
      expect(read.truth).toEqual(fleet.truth)
      expect(read.surveys.length).toBe(fleet.surveys.length)
      const judged = (records: Parameters<typeof judgeAlone>[0]) =>
        [...judgeHistories(judgeAlone(records), defaultParameters)].map(([key, list]) => [
          key,
          list.map((f) => f.code),
        ])
      expect(judged(read)).toEqual(judged({ ...fleet, works: [] }))
    } finally {
      rmSync(folder, { recursive: true })
    }
  })
})

describe('the score', () => {
  const finding = (code: FindingCode, probability: number | null = 0.9): Finding => ({
    code,
    severity: 'warning',
    probability,
    message: '',
    advice: [],
    evidence: {},
  })
  const truth = (ref: string, more: Partial<Truth> = {}): Truth => ({
    ref,
    electrode: 'E',
    day: Number(ref),
    instrument: 'I',
    campaign: Number(ref),
    nPrior: Number(ref),
    afterOneOff: false,
    drought: false,
    rise: 0,
    worked: false,
    labels: [],
    ...more,
  })
  const broken = (k: number) => [{ type: 'break' as const, k, size: 0.7, ev: 1 }]

  it('counts an alarm on a clean survey as false, and neither notices nor limits', () => {
    const all = [truth('0'), truth('1'), truth('2'), truth('3')]
    const found: Record<string, Finding[]> = {
      1: [finding('step-rise')],
      2: [{ ...finding('step-rise'), severity: 'notice' }],
      3: [finding('limit-exceeded')],
    }
    const score = scoreFleet(all, (t) => found[t.ref] ?? [])
    expect(score.falseAll).toBe(25)
    expect(score.falseAlone).toBe(25)
    expect(score.falseMany).toBe(0)
  })

  it('counts an event as found by its first or second survey, and as named only by a code that fits', () => {
    const all = [truth('1'), truth('2', { labels: broken(0) }), truth('3', { labels: broken(1) })]
    const late = scoreFleet(all, (t) => (t.ref === '3' ? [finding('step-rise')] : []))
    expect(late.events.break).toEqual({ n: 1, first: 0, n2: 1, second: 100, named: 100 })
    const wrong = scoreFleet(all, (t) => (t.ref === '2' ? [finding('decimal-slip')] : []))
    expect(wrong.events.break).toEqual({ n: 1, first: 100, n2: 1, second: 100, named: 0 })
  })

  it('measures stated chances against what was true', () => {
    const all = [truth('1'), truth('2', { labels: broken(0) })]
    const { calibration } = scoreFleet(all, () => [finding('step-rise', 0.5)])
    expect(calibration).toEqual({ error: 0, n: 2 })
    expect(scoreFleet(all, () => [finding('step-rise', 0.9)]).calibration.error).toBeCloseTo(0.4, 10)
  })

  it('finds nearly every slip and few false alarms in a fleet of careful crews, and prints its table', () => {
    const fleet = simulateFleet({ ...SETTINGS.ordinary!, noiseSd: 0.03, sites: 30 }, 7)
    const alone = judgeAlone({ ...fleet, works: [] })
    const found = judgeHistories(alone, defaultParameters)
    const score = scoreFleet(fleet.truth, (t) => found.get(keyOf(t.electrode, t.ref)) ?? [])
    expect(score.falseAll).toBeLessThan(2)
    expect(score.events.decimal!.first).toBeGreaterThan(80)
    expect(score.events.unit!.first).toBeGreaterThan(90)
    const table = tableOf([{ name: 'careful', score }])
    expect(table).toMatch(/false alarms per 100 clean surveys/)
  })
})
