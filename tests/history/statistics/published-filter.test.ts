import { describe, expect, it } from 'vitest'
import { DEFAULT_BELIEFS } from '../../../shared-lib/history/model/beliefs.ts'
import { fitFlat, fitWith, flatBase } from '../../../shared-lib/history/model/regression.ts'
import { learnSeason, priorSeason, seasonAt } from '../../../shared-lib/history/model/season.ts'

/** NIST StRD "Norris": 36 points of a linear regression with certified values. */
const X = [
  0.2, 337.4, 118.2, 884.6, 10.1, 226.5, 666.3, 996.3, 448.6, 777.0, 558.2, 0.4, 0.6, 775.5, 666.9, 338.0,
  447.5, 11.6, 556.0, 228.1, 995.8, 887.6, 120.2, 0.3, 0.3, 556.8, 339.1, 887.2, 999.0, 779.0, 11.1, 118.3,
  229.2, 669.1, 448.9, 0.5,
]
const Y = [
  0.1, 338.8, 118.1, 888.0, 9.2, 228.1, 668.5, 998.5, 449.1, 778.9, 559.2, 0.3, 0.1, 778.1, 668.8, 339.3,
  448.9, 10.8, 557.7, 228.3, 998.0, 888.8, 119.6, 0.3, 0.6, 557.6, 339.3, 888.0, 998.5, 778.9, 10.2, 117.6,
  228.9, 668.4, 449.2, 0.2,
]
const open = { mean: 0, variance: 1e12 }
const openLoading = { x1: 0, x2: 0, v11: 1e12, v12: 0, v22: 1e-6 }

describe('the filter against certified values', () => {
  it('gives the certified line of NIST’s Norris data when nothing is believed beforehand', () => {
    const points = { t: X.map((_, i) => i), y: Y, g: X, q: X.map(() => 0), v: X.map(() => 1) }
    const beliefs = { ...DEFAULT_BELIEFS, noiseSd: 1, noiseShape: 1e-3 }
    const fit = fitFlat(flatBase(points, open, openLoading, beliefs))
    expect(fit.x0).toBeCloseTo(-0.262323073774029, 6)
    expect(1 + fit.x1).toBeCloseTo(1.00211681802045, 9)
    // Residual standard deviation 0.884796396144373 with 34 degrees of freedom.
    expect(Math.sqrt((fit.noiseVar * (36 / 2 + 1e-3) * 2) / 34)).toBeCloseTo(0.884796396144373, 2)
  })

  it('gives the certified slope through the origin of NIST’s NoInt1 data as a ramp', () => {
    // x 60 to 70, y 130 to 140: y = 2.07438016528926 x; here x is the square of the years since the ramp began.
    const x = Array.from({ length: 11 }, (_, i) => 60 + i)
    const points = {
      t: x.map(Math.sqrt),
      y: x.map((v) => v + 70),
      g: x.map(() => 0),
      q: x.map(() => 0),
      v: x.map(() => 1),
    }
    const none = { x1: 0, x2: 0, v11: 1e-9, v12: 0, v22: 1e-9 }
    const base = flatBase(points, { mean: 0, variance: 1e-9 }, none, { ...DEFAULT_BELIEFS, noiseSd: 1 })
    expect(fitWith(base, 'ramp', 0, 1e6).x3).toBeCloseTo(2.07438016528926, 6)
  })

  it('learns a season one visit at a time as it would all at once', () => {
    const days = [10, 95, 200, 310, 420, 500, 610, 700, 800, 905]
    const seen = days.map((d) => 0.2 * Math.cos((2 * Math.PI * d) / 365.25) + 0.05 * Math.sin(d))
    const forth = priorSeason(DEFAULT_BELIEFS)
    const back = priorSeason(DEFAULT_BELIEFS)
    days.forEach((d, i) => {
      learnSeason(forth, d, seen[i]!, 0.01)
    })
    days.toReversed().forEach((d, i) => {
      learnSeason(back, d, seen.toReversed()[i]!, 0.01)
    })
    for (const day of [0, 120, 240]) {
      expect(seasonAt(forth, day).mean).toBeCloseTo(seasonAt(back, day).mean, 10)
      expect(seasonAt(forth, day).variance).toBeCloseTo(seasonAt(back, day).variance, 10)
    }
  })
})
