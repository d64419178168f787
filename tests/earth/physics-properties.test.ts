import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { expectedResistance, impliedSoilOhmM } from '../../shared-lib/earth/electrode-resistance.ts'
import { expectedInSoil } from '../../shared-lib/earth/expected-in-soil.ts'
import { solveField } from '../../shared-lib/earth/field/field.ts'
import { fieldResistanceOhm } from '../../shared-lib/earth/field/field-resistance.ts'
import { segmentsOf } from '../../shared-lib/earth/field/segments.ts'
import { mirrorGroups } from '../../shared-lib/earth/field/symmetry.ts'
import { ELECTRODE_KINDS, type Electrode } from '../../shared-lib/survey/register.ts'

const base = { electrodeId: 'E', siteId: 'S' }
const between = (min: number, max: number) => fc.double({ min, max, noNaN: true })
const wild = fc.option(fc.double(), { nil: undefined })
const someSoil = fc.record({
  upperOhmM: between(10, 2000),
  lowerOhmM: between(10, 2000),
  depthM: between(0.3, 20),
})
const wildSoil = fc.record({
  upperOhmM: fc.double(),
  lowerOhmM: fc.option(fc.double(), { nil: null }),
  depthM: fc.option(fc.double(), { nil: null }),
})
const wildElectrode = fc.record({
  kind: fc.constantFrom(...ELECTRODE_KINDS),
  lengthM: wild,
  diameterMm: wild,
  diagonalM: wild,
  areaM2: wild,
  count: wild,
  spacingM: wild,
  burialDepthM: wild,
})
const sound = (value: number | null): boolean => value === null || (value > 0 && Number.isFinite(value))

describe('whatever the register and the soil say', () => {
  it('formulas answer a finite value above zero, or null', () => {
    fc.assert(
      fc.property(wildElectrode, wildSoil, fc.double(), (dimensions, soil, reading) => {
        const electrode = { ...base, ...dimensions } as Electrode
        expect(sound(expectedInSoil(electrode, soil)?.resistanceOhm ?? null)).toBe(true)
        expect(sound(impliedSoilOhmM(electrode, reading))).toBe(true)
      }),
      { numRuns: 300 },
    )
  })
  it('the field calculation too', () => {
    fc.assert(
      fc.property(wildElectrode, wildSoil, (dimensions, soil) => {
        const electrode = { ...base, ...dimensions, count: 3 } as Electrode
        // Large groups and grids only cost time here.
        if (electrode.kind !== 'grid') expect(sound(fieldResistanceOhm(electrode, soil))).toBe(true)
      }),
      { numRuns: 60 },
    )
  })
})

describe('what physics says', () => {
  const rod = (lengthM: number, diameterMm: number): Electrode => ({
    ...base,
    kind: 'rod',
    lengthM,
    diameterMm,
  })
  it('a longer or thicker rod reads less, by formula and by field, in any soil of two layers', () => {
    fc.assert(
      fc.property(between(1, 8), between(1.1, 2), between(8, 30), someSoil, (length, times, mm, soil) => {
        const here = expectedResistance(rod(length, mm), 100)!.resistanceOhm
        expect(expectedResistance(rod(times * length, mm), 100)!.resistanceOhm).toBeLessThan(here)
        expect(expectedResistance(rod(length, times * mm), 100)!.resistanceOhm).toBeLessThan(here)
        const field = fieldResistanceOhm(rod(length, mm), soil)!
        // Length that ends in rock hardly helps, and the longer rod is cut coarser in the good ground above: 0.5 %.
        expect(fieldResistanceOhm(rod(times * length, mm), soil)!).toBeLessThan(1.005 * field)
        expect(fieldResistanceOhm(rod(length, times * mm), soil)!).toBeLessThan(field)
      }),
      { numRuns: 30 },
    )
  })
  it('more resistive ground above or below never reads less', () => {
    fc.assert(
      fc.property(between(1, 8), someSoil, between(1.05, 3), (length, soil, times) => {
        const field = fieldResistanceOhm(rod(length, 16), soil)!
        const above = fieldResistanceOhm(rod(length, 16), { ...soil, upperOhmM: times * soil.upperOhmM })!
        const below = fieldResistanceOhm(rod(length, 16), { ...soil, lowerOhmM: times * soil.lowerOhmM })!
        expect(above).toBeGreaterThan(field * (1 - 1e-4))
        expect(below).toBeGreaterThan(field * (1 - 1e-4))
      }),
      { numRuns: 30 },
    )
  })
  it('one more rod helps, and never by more than its share', () => {
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 8 }), between(1, 4), between(0.5, 3), (count, lengthM, apart) => {
        const of = (n: number): number =>
          expectedResistance(
            { ...base, kind: 'rod-group', lengthM, diameterMm: 16, count: n, spacingM: apart * lengthM },
            100,
          )!.resistanceOhm
        expect(of(count + 1)).toBeLessThan(of(count))
        expect(of(count + 1) / of(count)).toBeGreaterThan(count / (count + 1) - 1e-9)
      }),
    )
  })
  it('a larger grid reads less; so does one with more wire', () => {
    fc.assert(
      fc.property(between(20, 5000), between(1.1, 3), (areaM2, times) => {
        const grid = (area: number, lengthM?: number): number =>
          expectedResistance({ ...base, kind: 'grid', areaM2: area, ...(lengthM && { lengthM }) }, 100)!
            .resistanceOhm
        expect(grid(times * areaM2)).toBeLessThan(grid(areaM2))
        const wire = 6 * Math.sqrt(areaM2)
        expect(grid(areaM2, times * wire)).toBeLessThan(grid(areaM2, wire))
      }),
    )
  })
  it('far from the electrode the field has the potential of a point in the same soil: 61.8 % reads right in even soil', () => {
    fc.assert(
      fc.property(between(1, 4), between(60, 200), (lengthM, times) => {
        const field = solveField(segmentsOf(rod(lengthM, 16))!, { upperOhmM: 100, contrast: 0, depthM: 1 })!
        const D = times * lengthM
        const reading = field.readingOhm({ x: D, y: 0 }, { x: 0.618034 * D, y: 0 })
        expect(Math.abs(reading / field.resistanceOhm - 1)).toBeLessThan(1e-4)
      }),
      { numRuns: 20 },
    )
  })
  it('the field scales: everything twice as large in the same soil reads half', () => {
    fc.assert(
      fc.property(between(1, 6), someSoil, (lengthM, soil) => {
        const one = fieldResistanceOhm(rod(lengthM, 16), soil)!
        const two = fieldResistanceOhm(rod(2 * lengthM, 32), { ...soil, depthM: 2 * soil.depthM })!
        expect(Math.abs((2 * two) / one - 1)).toBeLessThan(1e-6)
      }),
      { numRuns: 30 },
    )
  })
})

describe('mirrors in the field calculation', () => {
  it('change nothing: a grid moved off the origin, where no mirror fits, reads the same', () => {
    const grid = segmentsOf({ ...base, kind: 'grid', areaM2: 100, diameterMm: 10 })!
    const moved = grid.map(({ from, to, radiusM }) => ({
      from: { ...from, x: from.x + 3.1, y: from.y - 7.7 },
      to: { ...to, x: to.x + 3.1, y: to.y - 7.7 },
      radiusM,
    }))
    expect(mirrorGroups(grid).length).toBeLessThan(grid.length / 4)
    expect(mirrorGroups(moved).length).toBe(moved.length)
    for (const contrast of [0, 0.7]) {
      const soil = { upperOhmM: 100, contrast, depthM: 1.7 }
      const ratio = solveField(moved, soil)!.resistanceOhm / solveField(grid, soil)!.resistanceOhm
      // Pieces just three lengths apart may fall to either side of where the closed form ends: 1e-6.
      expect(Math.abs(ratio - 1)).toBeLessThan(1e-6)
    }
  })
})
