import { describe, expect, it } from 'vitest'
import { buriedPlateResistanceOhm } from '../../shared-lib/earth/areas.ts'
import { expectedResistance, impliedSoilOhmM } from '../../shared-lib/earth/electrode-resistance.ts'
import { expectedInSoil } from '../../shared-lib/earth/expected-in-soil.ts'
import { fieldResistanceOhm } from '../../shared-lib/earth/field/field-resistance.ts'
import { gridSchwarzResistanceOhm } from '../../shared-lib/earth/grids.ts'
import { rodGroupResistanceOhm } from '../../shared-lib/earth/rod-groups.ts'
import { rodPlaces } from '../../shared-lib/earth/rod-layout.ts'
import {
  encasedRodResistanceOhm,
  lambdaHollowSquare,
  lambdaInLine,
  rodBelowSurfaceResistanceOhm,
  rodInUpperLayerResistanceOhm,
  rodResistanceOhm,
  rodsInLineResistanceOhm,
} from '../../shared-lib/earth/rods.ts'
import type { Electrode } from '../../shared-lib/survey/register.ts'
import { IEEE_142_FACTORS, LAMBDA } from './tables/rod-factors.ts'

// Provenance words: FOUND read in public text; MEMORY recalled, not read for this file; COMPUTED derived by two independent methods.

const base = { electrodeId: 'E', siteId: 'S' }
const uniform = { upperOhmM: 100, lowerOhmM: null, depthM: null }
const rod: Electrode = { ...base, kind: 'rod', lengthM: 3, diameterMm: 16 }

describe('forms beyond the plain rod', () => {
  it('top 0.5 m down: 32.0533 ohm by average potential (Howe, MEMORY, COMPUTED); moment method 31.98', () => {
    expect(rodBelowSurfaceResistanceOhm(100, 3, 0.016, 0.5)).toBeCloseTo(32.0533, 3)
    expect(expectedResistance({ ...rod, burialDepthM: 0.5 }, 100)!.resistanceOhm).toBeCloseTo(32.0533, 3)
  })
  it('NOTE, a known disagreement: the mid-point form printed elsewhere gives 33.5348, 4.6 % above it', () => {
    const c = 0.5 + 1.5
    const midPoint =
      (100 / (2 * Math.PI * 3)) * (Math.log((2 * 3) / 0.016) + 0.5 * Math.log((4 * c + 3) / (4 * c - 3)))
    expect(midPoint).toBeCloseTo(33.5348, 3)
    expect(midPoint / rodBelowSurfaceResistanceOhm(100, 3, 0.016, 0.5)!).toBeCloseTo(1.046, 2)
  })
  it('in the upper layer, 100 over 20 ohm-m at 5 m: 31.8039 ohm (Tagg, MEMORY, COMPUTED); moment method 31.58', () => {
    const soil = { upperOhmM: 100, contrast: -80 / 120, depthM: 5 }
    expect(rodInUpperLayerResistanceOhm(soil, 3, 0.016)).toBeCloseTo(31.8039, 3)
    const expected = expectedInSoil(rod, { upperOhmM: 100, lowerOhmM: 20, depthM: 5 })!
    expect(expected.resistanceOhm).toBeCloseTo(31.8039, 3)
  })
  it('in concrete of 0.2 m, 50 in 100 ohm-m: 26.793 ohm (IEEE 80, MEMORY)', () => {
    expect(encasedRodResistanceOhm(100, 50, 3, 0.016, 0.2)).toBeCloseTo(26.793, 3)
  })
  it('two rods: 17.6021 ohm at 9 m, 21.1089 at 1 m (Dwight, MEMORY); his series is cut off at the fourth power, 0.004 %', () => {
    expect(rodGroupResistanceOhm(100, 3, 0.016, rodPlaces('line', 2, 9))! / 17.6021).toBeCloseTo(1, 4)
    expect(rodGroupResistanceOhm(100, 3, 0.016, rodPlaces('line', 2, 1))! / 21.1089).toBeCloseTo(1, 4)
  })
  it('a plate far down tends to rho/8a, lying or standing (Dwight, MEMORY)', () => {
    const a = 0.5
    for (const lies of ['flat', 'standing'] as const)
      expect(buriedPlateResistanceOhm(100, Math.PI * a * a, 1e4, lies)).toBeCloseTo(100 / (8 * a), 2)
  })
  it('Schwarz, IEEE 80 B.2 with the curves for zero depth: 2.9079, 4.5704, 2.6050, together 2.8675 ohm (MEMORY, COMPUTED)', () => {
    const found = gridSchwarzResistanceOhm(400, {
      areaM2: 4900,
      sideRatio: 1,
      conductorM: 1540,
      wireDiameterM: 0.01,
      depthM: 0.5,
      rods: 20,
      rodLengthM: 7.5,
      rodDiameterM: 0.016,
    })!
    expect(found.gridOhm).toBeCloseTo(2.9079, 3)
    expect(found.rodsOhm).toBeCloseTo(4.5704, 3)
    expect(found.mutualOhm).toBeCloseTo(2.605, 3)
    expect(found.resistanceOhm).toBeCloseTo(2.8675, 3)
  })
})

describe('factors of rods', () => {
  it.each(LAMBDA)('BS 7430 %s, n %i: lambda %f (MEMORY)', (layout, n, published) => {
    if (layout === 'line') expect(lambdaInLine(n)).toBe(published)
    // Beyond ten a side the recalled table is uncertain in its second decimal and not used.
    else expect(lambdaHollowSquare(n)).toBe(n <= 10 ? published : null)
  })
  it.each(LAMBDA)(
    '%s, n %i: equal currents give lambda as computed, at most 1.3 %% from the table',
    (layout, n, published, equal) => {
      // Far apart the pair term is 1/s, so lambda comes back from the group's resistance.
      const count = layout === 'line' ? n : 4 * (n - 1)
      const apart = 1e4
      const places = rodPlaces(layout as 'line' | 'hollow-square', count, apart)
      const one = rodResistanceOhm(100, 3, 0.016)!
      const alpha = 100 / (2 * Math.PI * one * apart)
      const lambda = ((count * rodGroupResistanceOhm(100, 3, 0.016, places)!) / one - 1) / alpha
      expect(Math.abs(lambda - equal)).toBeLessThan(6e-5)
      expect(Math.abs(lambda / published - 1)).toBeLessThan(0.0135)
    },
  )
  it.each(IEEE_142_FACTORS)(
    '%i rods one length apart: the pair terms come within 0.8 %% of the moment method (equal currents read high)',
    (n, _, line, circle) => {
      const one = rodResistanceOhm(100, 3.048, 0.015875)!
      const factor = (layout: 'line' | 'circle'): number =>
        (n * rodGroupResistanceOhm(100, 3.048, 0.015875, rodPlaces(layout, n, 3.048))!) / one
      expect(factor('line') / line).toBeGreaterThan(0.999)
      expect(factor('line') / line).toBeLessThan(1.008)
      if (circle !== null) expect(Math.abs(factor('circle') / circle - 1)).toBeLessThan(0.004)
    },
  )
  it('the plain 1/s of BS 7430 reads 2 to 6 % higher at one length apart: that is why the pair terms are used', () => {
    for (const n of [2, 4, 8]) {
      const pairs = rodGroupResistanceOhm(100, 3, 0.016, rodPlaces('line', n, 3))!
      const factors = rodsInLineResistanceOhm(100, 3, 0.016, n, 3)!
      expect(factors / pairs).toBeGreaterThan(1.02)
      expect(factors / pairs).toBeLessThan(1.065)
    }
  })
})

/** Formula over field calculation in uniform soil; the reason for each range stands beside it. */
const AGAINST_FIELD: readonly [
  string,
  Partial<Electrode> & Pick<Electrode, 'kind'>,
  number,
  number,
  string,
][] = [
  ['rod 3 m', { kind: 'rod', lengthM: 3, diameterMm: 16 }, 0.995, 1.01, 'even leakage reads high, 0.5 %'],
  ['rod 10 m', { kind: 'rod', lengthM: 10, diameterMm: 16 }, 0.995, 1.01, 'the same'],
  [
    'rod 2 m, top 0.6 m',
    { kind: 'rod', lengthM: 2, diameterMm: 16, burialDepthM: 0.6 },
    0.995,
    1.01,
    'the same',
  ],
  [
    '4 rods in line at 3 m',
    { kind: 'rod-group', lengthM: 3, diameterMm: 16, count: 4, spacingM: 3 },
    0.995,
    1.015,
    'equal currents on top',
  ],
  [
    '4 rods on a square of 3 m',
    { kind: 'rod-group', lengthM: 3, diameterMm: 16, count: 4, spacingM: 3, diagonalM: 4.24 },
    0.995,
    1.015,
    'equal by symmetry; even leakage',
  ],
  [
    '8 rods on a circle',
    { kind: 'rod-group', lengthM: 3, diameterMm: 16, count: 7, spacingM: 5, diagonalM: 12 },
    0.995,
    1.015,
    'equal by symmetry; even leakage',
  ],
  [
    'wire 20 m',
    { kind: 'wire', lengthM: 20, diameterMm: 10, burialDepthM: 0.5 },
    0.995,
    1.015,
    'even leakage',
  ],
  [
    'right angle 2 x 10 m',
    { kind: 'wire', count: 2, lengthM: 10, diameterMm: 10, burialDepthM: 0.5 },
    0.99,
    1.02,
    'even leakage, corner',
  ],
  [
    'star 3 x 10 m',
    { kind: 'wire', count: 3, lengthM: 10, diameterMm: 10, burialDepthM: 0.5 },
    0.99,
    1.03,
    'even leakage: the middle is shielded',
  ],
  [
    'star 4 x 10 m',
    { kind: 'wire', count: 4, lengthM: 10, diameterMm: 10, burialDepthM: 0.5 },
    0.99,
    1.04,
    'more so',
  ],
  [
    'star 6 x 10 m',
    { kind: 'wire', count: 6, lengthM: 10, diameterMm: 10, burialDepthM: 0.5 },
    0.99,
    1.08,
    'more so',
  ],
  [
    'star 8 x 10 m',
    { kind: 'wire', count: 8, lengthM: 10, diameterMm: 10, burialDepthM: 0.5 },
    0.99,
    1.11,
    'more so',
  ],
  [
    'ring 10 m',
    { kind: 'ring', diagonalM: 10, diameterMm: 10, burialDepthM: 0.5 },
    0.99,
    1.01,
    'equal by symmetry; 32 chords for a circle',
  ],
  [
    'grid 20 m, 5 m meshes',
    { kind: 'grid', areaM2: 400, diameterMm: 10, burialDepthM: 0.5 },
    1.02,
    1.18,
    'NOTE: Sverak lies 5 to 18 % high',
  ],
  [
    'grid 70 m, 7 m meshes',
    { kind: 'grid', areaM2: 4900, lengthM: 1540, diameterMm: 10, burialDepthM: 0.5 },
    1.04,
    1.18,
    'NOTE: Sverak lies 5 to 18 % high',
  ],
]

describe('each hand formula against the field calculation', () => {
  it.each(AGAINST_FIELD)('%s: %#', (_, dimensions, low, high, why) => {
    const electrode = { ...base, ...dimensions }
    const expected = expectedResistance(electrode, 100)!
    const ratio = expected.resistanceOhm / fieldResistanceOhm(electrode, uniform)!
    expect(ratio, why).toBeGreaterThan(low)
    expect(ratio, why).toBeLessThan(high)
    // Twice the stated doubt covers it.
    expect(Math.abs(Math.log(ratio))).toBeLessThan(2 * expected.relativeDoubt)
  })
  it('and over two layers within twice its stated doubt', () => {
    for (const [name, dimensions] of AGAINST_FIELD) {
      const electrode = { ...base, ...dimensions }
      if (electrode.count === 2 || electrode.kind === 'grid') continue
      for (const lowerOhmM of [20, 500])
        for (const depthM of [1.3, 3.5, 8]) {
          const soil = { upperOhmM: 100, lowerOhmM, depthM }
          const expected = expectedInSoil(electrode, soil)!
          const ratio = expected.resistanceOhm / fieldResistanceOhm(electrode, soil)!
          expect(
            Math.abs(Math.log(ratio)),
            `${name} over ${lowerOhmM} ohm-m at ${depthM} m: ${ratio}`,
          ).toBeLessThan(2 * expected.relativeDoubt)
        }
    }
  })
  it('the soil that a reading implies gives the reading back', () => {
    for (const [, dimensions] of AGAINST_FIELD) {
      const electrode = { ...base, ...dimensions }
      const ohm = expectedResistance(electrode, 137)!.resistanceOhm
      expect(impliedSoilOhmM(electrode, ohm)).toBeCloseTo(137, 6)
    }
  })
})
