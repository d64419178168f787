import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { type Remedy, remediesFor } from '../../shared-lib/plan/remedies.ts'
import { ELECTRODE_KINDS, type Electrode } from '../../shared-lib/survey/register.ts'

const rod: Electrode = { electrodeId: 'E', siteId: 'S', kind: 'rod', lengthM: 3, diameterMm: 16 }
const named = (remedies: Remedy[], name: Remedy['name']): Remedy => {
  const found = remedies.find((remedy) => remedy.name === name)
  if (!found) throw new Error(`no ${name}`)
  return found
}

describe('remedies of a failing electrode', () => {
  const failing = remediesFor({ electrode: rod, measuredOhm: 33.35, limitOhm: 20 })
  it('each lowers the resistance, has a doubt and names how it was computed; treated soil comes last', () => {
    expect(failing.map((remedy) => remedy.name)).toEqual(
      expect.arrayContaining(['longer-rod', 'more-rods', 'ring', 'wire', 'treat-soil']),
    )
    for (const remedy of failing) {
      expect(remedy.resistanceOhm!).toBeLessThan(33.35)
      expect(remedy.doubtPercent!).toBeGreaterThan(0)
      expect(remedy.basis.length).toBeGreaterThan(10)
    }
    expect(failing.at(-1)!.name).toBe('treat-soil')
  })
  it('a second rod 6 m away brings 33.35 ohm to 17.9 (COMPUTED: the end rod of two off is 1.8624 times both)', () => {
    const two = remediesFor({ electrode: rod, measuredOhm: 33.35, limitOhm: 25 })
    expect(named(two, 'more-rods').words).toContain('Add 1 rod of 3 m')
    expect(named(two, 'more-rods').resistanceOhm!).toBeCloseTo(33.35 / 1.8624, 1)
  })
  it('the chance is half where the expected value stands at the limit, and grows with the limit', () => {
    const chanceAt = (limitOhm: number): number =>
      named(remediesFor({ electrode: rod, measuredOhm: 33.35, limitOhm }), 'treat-soil').chance!
    const at = named(failing, 'treat-soil').resistanceOhm!
    expect(chanceAt(at)).toBeCloseTo(0.5, 2)
    expect(chanceAt(at * 1.2)).toBeGreaterThan(chanceAt(at))
  })
  it('good ground below makes a longer rod the better for it, rock below the worse', () => {
    const over = (lowerOhmM: number): number =>
      named(
        remediesFor({
          electrode: rod,
          measuredOhm: 33.35,
          limitOhm: 1,
          soil: { upperOhmM: 100, lowerOhmM, depthM: 4, relativeUncertainty: 0.3 },
        }),
        'longer-rod',
      ).resistanceOhm!
    expect(over(20)).toBeLessThan(over(100))
    expect(over(100)).toBeLessThan(over(1000))
  })
  it('looks at joints first where the reading is far above what the soil lets expect', () => {
    const soil = { upperOhmM: 50, lowerOhmM: null, depthM: null, relativeUncertainty: 0.25 }
    const [first] = remediesFor({ electrode: rod, measuredOhm: 60, limitOhm: 25, soil })
    expect(first!.name).toBe('mend-joints')
    expect(first!.cautions.join(' ')).toContain('person in control')
  })
  it('defers to local codes and licensed people with each', () => {
    for (const remedy of failing) expect(remedy.cautions.join(' ')).toMatch(/licensed|person in control/)
  })
  it('has nothing to say where the electrode passes, or nothing can be computed', () => {
    expect(remediesFor({ electrode: rod, measuredOhm: 10, limitOhm: 25 })).toEqual([])
    expect(remediesFor({ electrode: { ...rod, kind: 'other' }, measuredOhm: 30, limitOhm: 25 })).toEqual([])
    expect(remediesFor({ electrode: rod, measuredOhm: Number.NaN, limitOhm: 25 })).toEqual([])
  })
  it('answers any electrode without NaN or a throw', () => {
    const size = fc.option(fc.double({ min: 0.01, max: 100, noNaN: true }), { nil: undefined })
    fc.assert(
      fc.property(
        fc.record({
          kind: fc.constantFrom(...ELECTRODE_KINDS),
          lengthM: size,
          diameterMm: size,
          diagonalM: size,
          areaM2: size,
          count: fc.option(fc.integer({ min: 1, max: 6 }), { nil: undefined }),
          spacingM: size,
          burialDepthM: size,
        }),
        (dimensions) => {
          const electrode = { electrodeId: 'E', siteId: 'S', ...dimensions } as Electrode
          for (const remedy of remediesFor({ electrode, measuredOhm: 50, limitOhm: 10 })) {
            expect(Number.isFinite(remedy.resistanceOhm)).toBe(true)
            expect(remedy.resistanceOhm!).toBeGreaterThan(0)
          }
        },
      ),
      { numRuns: 15 },
    )
  })
})
