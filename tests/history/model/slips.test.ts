import { describe, expect, it } from 'vitest'
import { assessSite } from '../../../shared-lib/history/assess-site.ts'
import { sightingOf } from '../../../shared-lib/history/model/sighting.ts'
import { defaultParameters } from '../../../shared-lib/history/parameters.ts'
import { ROD, testOf } from '../examples.ts'

const SHARES = [0.1, 0.2, 0.3, 0.4, 0.52, 0.62, 0.72, 0.8, 0.9]
const CURVE = [32.5, 41.9, 43.6, 45.8, 48, 49.6, 50.9, 52.8, 61]
const curve = (ohms: readonly number[]) =>
  testOf('2016-05-03', 49.6, {
    readings: ohms.map((resistanceOhm, i) => ({
      ...{ potentialProbeM: SHARES[i]! * 30, resistanceOhm, condition: 'ok' as const },
    })),
  })
const offOf = (ohms: readonly number[]) => sightingOf(curve(ohms), null)!.oneReadingOffLn

describe('one reading of a full curve with its decimal point slipped', () => {
  it('is seen wherever on the line it is, its ends included, and the middle of the curve stays', () => {
    for (let i = 0; i < CURVE.length; i++)
      for (const times of [10, 0.1]) {
        const slipped = curve(CURVE.map((ohm, k) => (k === i ? ohm * times : ohm)))
        const seen = sightingOf(slipped, null)!
        expect(Math.sign(seen.oneReadingOffLn!), `reading ${i} × ${times}`).toBe(Math.sign(Math.log(times)))
        expect(seen.y).toBeCloseTo(Math.log(49.6), 1)
      }
  })

  it('is not seen in a sound curve, however steep its ends', () => {
    expect(offOf(CURVE)).toBeNull()
    expect(offOf([12, 25, 35, 42, 48, 50, 52, 70, 130])).toBeNull()
  })
})

describe('the first test of an electrode', () => {
  const levels = [30, 41, 33, 38, 29, 36]
  const known = levels.map((ohm, n) => ({
    electrode: { ...ROD, electrodeId: `K-${n}` },
    tests: [2012, 2013, 2014, 2015].map((year) =>
      testOf(`${year}-05-03`, ohm, { electrodeId: `K-${n}`, surveyRef: `K-${n}-${year}` }),
    ),
    ...{ works: [], decisions: [] },
  }))
  const codesAt = (ohm: number) => {
    const own = { electrode: ROD, tests: [testOf('2015-05-03', ohm)], works: [], decisions: [] }
    const site = { electrodes: [own, ...known], calibrations: [], parameters: defaultParameters }
    const findings = assessSite(site)['E-1']!.findings['T-2015-05-03'] ?? []
    return findings.filter((f) => f.severity !== 'notice').map((f) => f.code)
  }

  it('is doubted when it is ten times off what its formula and its neighbours’ soil let expect, or nearly so', () => {
    for (const times of [10, 0.1, 7.5, 0.13])
      expect(codesAt(34 * times)).toContain('implausible-for-electrode')
  })

  it('is believed within three times of that', () => {
    for (const times of [0.35, 0.5, 1, 1.8, 2.8]) expect(codesAt(34 * times)).toEqual([])
  })
})
