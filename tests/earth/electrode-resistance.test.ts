import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { expectedResistance } from '../../shared-lib/earth/electrode-resistance.ts'
import { electrodeSizeM } from '../../shared-lib/earth/electrode-size.ts'
import { ELECTRODE_KINDS, type Electrode } from '../../shared-lib/survey/register.ts'

const base = { electrodeId: 'E', siteId: 'S' }
const number = fc.option(fc.double(), { nil: undefined })
const anyElectrode = fc
  .record({
    kind: fc.constantFrom(...ELECTRODE_KINDS),
    lengthM: number,
    diameterMm: number,
    diagonalM: number,
    areaM2: number,
    count: number,
    spacingM: number,
    burialDepthM: number,
  })
  .map((fields) => ({ ...base, ...fields }) as Electrode)

describe('expected resistance', () => {
  it('doubles with the soil and names its formula', () => {
    const rod: Electrode = { ...base, kind: 'rod', lengthM: 3, diameterMm: 16 }
    expect(expectedResistance(rod, 100)!.resistanceOhm).toBeCloseTo(33.49, 2)
    expect(expectedResistance(rod, 200)!.resistanceOhm).toBeCloseTo(66.99, 2)
    expect(expectedResistance(rod, 100)!.formula).toContain('Dwight')
  })
  it('has an answer for every kind but `other` once its dimensions are known', () => {
    const full = { ...base, lengthM: 10, diameterMm: 10, diagonalM: 10, areaM2: 50, count: 3, spacingM: 5 }
    for (const kind of ELECTRODE_KINDS)
      expect(expectedResistance({ ...full, kind }, 100) === null).toBe(kind === 'other')
  })
  it('has no answer, rather than a wrong one, without the dimensions', () => {
    for (const kind of ELECTRODE_KINDS) expect(expectedResistance({ ...base, kind }, 100)).toBeNull()
  })
  it('four rods read less than one and more than a quarter of it', () => {
    const rod = { ...base, lengthM: 3, diameterMm: 16, spacingM: 6 }
    const one = expectedResistance({ ...rod, kind: 'rod' }, 100)!.resistanceOhm
    const four = expectedResistance({ ...rod, kind: 'rod-group', count: 4 }, 100)!.resistanceOhm
    expect(four).toBeLessThan(one)
    expect(four).toBeGreaterThan(one / 4)
  })
  it('is finite and above zero, or null, whatever the register holds', () => {
    fc.assert(
      fc.property(anyElectrode, fc.double(), (electrode, soil) => {
        const expected = expectedResistance(electrode, soil)
        if (expected) expect(expected.resistanceOhm > 0 && Number.isFinite(expected.resistanceOhm)).toBe(true)
        const size = electrodeSizeM(electrode)
        if (size !== null) expect(size > 0 && Number.isFinite(size)).toBe(true)
      }),
    )
  })
})

describe('size that rules the distances', () => {
  it('is the driven depth of a rod, the span of a group, the diagonal of a grid', () => {
    expect(electrodeSizeM({ ...base, kind: 'rod', lengthM: 3 })).toBe(3)
    expect(electrodeSizeM({ ...base, kind: 'rod-group', lengthM: 3, count: 4, spacingM: 5 })).toBe(15)
    expect(electrodeSizeM({ ...base, kind: 'grid', areaM2: 200 })).toBeCloseTo(20, 9)
    expect(electrodeSizeM({ ...base, kind: 'other' })).toBeNull()
  })
})
