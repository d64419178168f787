import { describe, expect, it } from 'vitest'
import { DEFAULT_BELIEFS } from '../../../shared-lib/history/model/beliefs.ts'
import { learnScatter, newFleetScatter } from '../../../shared-lib/history/model/fleet-scatter.ts'
import { afterSign, aged, biasOf, freshBelief } from '../../../shared-lib/history/model/instrument.ts'
import { learnSeason, priorSeason, seasonAt } from '../../../shared-lib/history/model/season.ts'
import { learnShape, shapeLikelihoods } from '../../../shared-lib/history/model/shape.ts'
import { sightingOf } from '../../../shared-lib/history/model/sighting.ts'
import { testOf } from '../examples.ts'

describe('the season of a site', () => {
  it('is learnt from visits over the year, and so is how fast it moves', () => {
    const season = priorSeason(DEFAULT_BELIEFS)
    const truth = (day: number) => 0.25 * Math.cos((2 * Math.PI * day) / 365.25)
    for (let day = 0; day < 365 * 4; day += 45) learnSeason(season, day, truth(day), 0.002)
    for (const day of [1500, 1550, 1600, 1700]) {
      const at = seasonAt(season, day)
      expect(at.mean).toBeCloseTo(truth(day), 1)
      expect(Math.sign(at.quadrature)).toBe(Math.sign(-Math.sin((2 * Math.PI * day) / 365.25)))
      expect(at.variance).toBeLessThan(0.01)
    }
  })
})

describe('the shape of three readings', () => {
  const own = { mean: 0, variance: 0.1 }
  const sheet = (ohms: number[]) =>
    sightingOf(
      testOf('2020-05-01', 11, {
        readings: ohms.map((r, i) => ({
          potentialProbeM: [15.6, 18.6, 21.6][i]!,
          resistanceOhm: r,
          condition: 'ok',
        })),
      }),
      null,
    )!
  const lnK = Math.log(0.02)

  it('tells a sound sheet, a current probe too close and a wrong order apart', () => {
    const sound = shapeLikelihoods(sheet([10.9, 11, 11.25]), lnK, own, DEFAULT_BELIEFS)
    expect(sound.normal).toBeGreaterThan(10 * Math.max(sound.tooClose, sound.outOfOrder))
    const close = shapeLikelihoods(sheet([8.6, 11, 14.4]), lnK, own, DEFAULT_BELIEFS)
    expect(close.tooClose).toBeGreaterThan(100 * close.normal)
    const swapped = shapeLikelihoods(sheet([11.9, 11, 11.4]), Math.log(0.04), own, DEFAULT_BELIEFS)
    expect(swapped.outOfOrder).toBeGreaterThan(10 * swapped.normal)
  })

  it('has a value that swapped readings do not move, and sets one wild reading aside', () => {
    expect(sheet([11.2, 10.9, 11]).y).toBe(sheet([10.9, 11, 11.2]).y)
    const wild = sheet([10.9, 110, 11.2])
    expect(Math.exp(wild.y)).toBeCloseTo(11.05, 1)
    expect(Math.exp(wild.oneReadingOffLn!)).toBeCloseTo(9.96, 1)
  })

  it('learns how steep an electrode usually is', () => {
    const steep = sheet([10.4, 11, 11.9])
    const learnt = learnShape(steep, lnK, own, DEFAULT_BELIEFS)
    expect(learnt.mean).toBeGreaterThan(0.3)
    expect(learnt.variance).toBeLessThan(own.variance)
  })
})

describe('an instrument between calibrations', () => {
  const believedAfter = (residuals: readonly number[]) =>
    biasOf(
      residuals.reduce(
        (belief, residual) =>
          afterSign(aged(belief, 30), {
            ...{ residual, ownVar: 0.002, sharedVar: 0.008, farShare: 0.04, other: null },
          }),
        freshBelief(),
      ),
    )

  it('is believed sound while what it sees scatters about the season', () => {
    expect(believedAfter([0.05, -0.08, 0.02, 0.1, -0.03]).chance).toBeLessThan(0.1)
  })

  it('is suspected when site after site reads high from some day on', () => {
    const belief = believedAfter([0.02, -0.05, 0.22, 0.2, 0.25, 0.19, 0.22])
    expect(belief.chance).toBeGreaterThan(0.7)
    expect(belief.bias).toBeCloseTo(0.2, 1)
  })

  it('says nothing without signs', () => {
    expect(believedAfter([])).toEqual({ chance: 0, bias: 0 })
  })
})

describe('how far the sites of an operator stand off their seasons', () => {
  const learnt = (zs: readonly number[]) => {
    const scatter = newFleetScatter()
    for (const z of zs) learnScatter(scatter, z)
    return scatter
  }
  /** The middle of equal shares of a normal variable's range, in a mixed order. */
  const normal = Array.from({ length: 400 }, (_, i) => {
    const u = (((i * 149) % 400) + 0.5) / 400
    return Math.sign(u - 0.5) * Math.sqrt(-(Math.PI / 2) * Math.log(1 - (2 * u - 1) ** 2))
  })

  it('is learnt from the middle of what was seen, whatever a few droughts do', () => {
    expect(learnt(normal).spread).toBeCloseTo(1, 1)
    expect(learnt(normal.map((z) => 0.6 * z)).spread).toBeCloseTo(0.6, 1)
    const droughts = normal.map((z, i) => (i % 20 === 0 ? 8 : z))
    expect(learnt(droughts).spread).toBeLessThan(1.15)
    expect(learnt(droughts).farShare).toBeGreaterThan(learnt(normal).farShare + 0.03)
  })
})
