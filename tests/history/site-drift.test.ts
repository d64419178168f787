import { describe, expect, it } from 'vitest'
import { assessSite } from '../../shared-lib/history/assess-site.ts'
import type { ElectrodeRecord } from '../../shared-lib/history/assessment.ts'
import { readEvidence } from '../../shared-lib/history/evidence.ts'
import { defaultParameters } from '../../shared-lib/history/parameters.ts'
import { ROD, testOf } from './examples.ts'

/** Eight rods tested each May; `factor` is what all (or those it is asked for) show in a year. */
function site(factor: (year: number, electrode: number) => number): ElectrodeRecord[] {
  return Array.from({ length: 8 }, (_, e) => {
    const id = `E-${e}`
    const tests = Array.from({ length: 13 }, (_, i) => {
      const scatter = 1 + 0.015 * (((e * 5 + i * 3) % 5) - 2)
      return testOf(`${2008 + i}-05-0${1 + (i % 5)}`, (20 + 4 * e) * scatter * factor(2008 + i, e), {
        surveyRef: `${id}-${2008 + i}`,
        electrodeId: id,
        limitOhm: null,
      })
    })
    return { electrode: { ...ROD, electrodeId: id }, tests, works: [], decisions: [] }
  })
}

function drifts(electrodes: ElectrodeRecord[]) {
  const judged = assessSite({ electrodes, calibrations: [], parameters: defaultParameters })
  return Object.values(judged).flatMap((a) =>
    Object.entries(a.findings).flatMap(([ref, list]) =>
      list.filter((f) => f.code === 'site-drift').map((finding) => ({ ref, finding })),
    ),
  )
}

describe('a site that goes up as a whole', () => {
  const rising = (year: number) => (year > 2014 ? 1.13 ** (year - 2014) : 1)

  it('is named once for the site, with the electrodes that rise and since when', () => {
    const found = drifts(site(rising))
    expect(found.length).toBeGreaterThan(0)
    const { finding } = found[0]!
    expect(finding.message).toMatch(/Site S-1 as a whole has risen/)
    const { site: level } = readEvidence(finding.evidence)
    expect(level).toMatchObject({ siteId: 'S-1', electrodes: 8 })
    expect(level!.rising.length).toBeGreaterThan(4)
    expect(Number(level!.since.slice(0, 4))).toBeGreaterThan(2011)
    const years = found.map((f) => f.ref.slice(-4))
    expect(new Set(years).size).toBe(found.length)
  })

  it('is not named for one dry year, nor for years that only waver', () => {
    expect(drifts(site((year) => (year === 2016 ? 1.6 : 1)))).toEqual([])
    expect(drifts(site((year) => 1 + 0.1 * (((year * 7) % 5) / 2 - 1)))).toEqual([])
  })

  it('is not named for one electrode that rises alone: that is its own finding', () => {
    expect(drifts(site((year, e) => (e === 3 ? rising(year) : 1)))).toEqual([])
  })
})
