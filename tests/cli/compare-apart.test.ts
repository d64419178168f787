import { afterEach, describe, expect, it } from 'vitest'
import { type ComparingApart, compareApart } from '../../functions/cli/check/compare-apart.ts'
import { type ComparedBy, compareSite, type SiteTests } from '../../functions/cli/check/compare-site.ts'
import { defaultParameters } from '../../shared-lib/history/parameters.ts'
import { ROD, testOf } from '../history/examples.ts'

const by: ComparedBy = { calibrations: new Map(), parameters: defaultParameters, asOfMs: undefined }
let apart: ComparingApart | null = null
afterEach(async () => {
  await apart?.close()
  apart = null
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

describe('sites compared in a thread of their own', () => {
  it('are compared as in this thread, each answer for the site that was asked', async () => {
    apart = compareApart(by)
    const sites = [1, 1.8, 1, 3].map(siteOf)
    const found = await Promise.all(sites.map((site) => apart!.compare(site)))
    expect(found).toEqual(sites.map((site) => compareSite(site, by)))
    expect(found[1]!.findings.find(([record]) => record === 4)?.[1]).toContain('step-rise')
    expect(found[0]!.findings.some(([record]) => record === 4)).toBe(false)
    expect(found[1]!.seen.flatMap((visit) => visit.tests.map((test) => test.record))).toContain(31)
  })

  it('tell of a site that cannot be read instead of waiting for ever', async () => {
    apart = compareApart(by)
    const broken = siteOf(1)
    broken.electrodes[0]!.tests[0] = '{'
    await expect(apart.compare(broken)).rejects.toThrow(SyntaxError)
  })
})
