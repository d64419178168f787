import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { type Sounding, soilOfSite } from '../../shared-lib/earth/site-soil.ts'
import { apparentOf } from '../../shared-lib/earth/two-layer-sounding.ts'

const SPACINGS = [1, 2, 4, 8, 16]
const CLAY_OVER_ROCK = { upperOhmM: 80, lowerOhmM: 600, depthM: 3 }

/** A Wenner survey as this soil would show it, every reading times `factor`. */
function sounding(surveyRef: string, testedAt: string, soil = CLAY_OVER_ROCK, factor = 1): Sounding {
  return {
    surveyRef,
    testedAt,
    readings: SPACINGS.map((probeSpacingM) => ({
      condition: 'ok',
      probeSpacingM,
      resistanceOhm: (factor * apparentOf(soil, probeSpacingM)!) / (2 * Math.PI * probeSpacingM),
    })),
  }
}

describe('soil of a site', () => {
  it('finds the two layers that the readings were made from', () => {
    const soil = soilOfSite([sounding('W-1', '2026-05-04T10:00:00Z')])!
    expect(soil.upperOhmM).toBeGreaterThan(0.95 * 80)
    expect(soil.upperOhmM).toBeLessThan(1.05 * 80)
    expect(soil.depthM).toBeGreaterThan(2.6)
    expect(soil.depthM).toBeLessThan(3.4)
    expect(soil.lowerOhmM! / 600).toBeGreaterThan(0.8)
    expect(soil.lowerOhmM! / 600).toBeLessThan(1.2)
    expect(soil.surveyRefs).toEqual(['W-1'])
    expect(soil.why).toContain('Two layers')
  })
  it('says one layer where the readings do not differ', () => {
    const flat = { upperOhmM: 120, lowerOhmM: null, depthM: null } as never
    const soil = soilOfSite([sounding('W-1', '2026-05-04T10:00:00Z', flat)])!
    expect([soil.lowerOhmM, soil.depthM]).toEqual([null, null])
    expect(soil.upperOhmM).toBeCloseTo(120, 6)
  })
  it('takes soundings that agree together, newest first, whatever their order', () => {
    const a = sounding('W-1', '2020-05-04T10:00:00Z', CLAY_OVER_ROCK, 1.2)
    const b = sounding('W-2', '2026-05-04T10:00:00Z')
    expect(soilOfSite([a, b])).toEqual(soilOfSite([b, a]))
    const soil = soilOfSite([a, b])!
    expect(soil.surveyRefs).toEqual(['W-2', 'W-1'])
    expect(soil.testedAt).toBe('2026-05-04T10:00:00Z')
    // Six years older counts less than half.
    expect(soil.upperOhmM / 80).toBeLessThan(1.1)
  })
  it('leaves a sounding out that two others contradict, though it is the newest, and doubts more', () => {
    const sound = [sounding('W-1', '2024-05-04T10:00:00Z'), sounding('W-2', '2025-05-04T10:00:00Z')]
    const slipped = sounding('W-3', '2026-05-04T10:00:00Z', CLAY_OVER_ROCK, 10)
    const soil = soilOfSite([...sound, slipped])!
    expect(soil.surveyRefs).toEqual(['W-2', 'W-1'])
    expect(soil.relativeUncertainty).toBeGreaterThan(soilOfSite(sound)!.relativeUncertainty)
  })
  it('of two that contradict each other takes the newer', () => {
    const soil = soilOfSite([
      sounding('W-1', '2020-05-04T10:00:00Z', CLAY_OVER_ROCK, 10),
      sounding('W-2', '2026-05-04T10:00:00Z'),
    ])!
    expect(soil.surveyRefs).toEqual(['W-2'])
  })
  it('does not count a survey that was corrected, a visit without a test, or another method', () => {
    const first = sounding('W-1', '2026-05-04T10:00:00Z', CLAY_OVER_ROCK, 10)
    const mended = { ...sounding('W-2', '2026-05-04T10:00:00Z'), corrects: 'W-1' }
    expect(soilOfSite([first, mended])!.surveyRefs).toEqual(['W-2'])
    expect(soilOfSite([{ ...first, outcome: 'no-access' }])).toBeNull()
    expect(soilOfSite([{ ...first, method: 'two-point' }])).toBeNull()
  })
  it('with one spacing knows little and says so', () => {
    const one = sounding('W-1', '2026-05-04T10:00:00Z')
    const soil = soilOfSite([{ ...one, readings: one.readings.slice(0, 1) }])!
    expect(soil.depthM).toBeNull()
    expect(soil.relativeUncertainty).toBeGreaterThan(0.4)
    expect(soil.why).toContain('cannot tell layers')
  })
  it('answers any readings without NaN, Infinity or a throw', () => {
    const number = fc.option(fc.double(), { nil: undefined })
    const reading = fc.record({
      condition: fc.constantFrom('ok', 'over-range'),
      probeSpacingM: number,
      probeDepthM: number,
      resistanceOhm: number,
    })
    const any = fc.record({
      surveyRef: fc.string(),
      testedAt: fc.constantFrom('2026-01-01T00:00:00Z', '1999-01-01', 'no date'),
      readings: fc.array(reading, { maxLength: 8 }),
    })
    fc.assert(
      fc.property(fc.array(any, { maxLength: 4 }), (soundings) => {
        const soil = soilOfSite(soundings as Sounding[])
        if (!soil) return
        expect(soil.upperOhmM > 0 && Number.isFinite(soil.upperOhmM)).toBe(true)
        expect(Number.isFinite(soil.relativeUncertainty)).toBe(true)
        expect(soil.lowerOhmM === null).toBe(soil.depthM === null)
        if (soil.lowerOhmM !== null) expect(soil.lowerOhmM * soil.depthM!).toBeGreaterThan(0)
      }),
      { numRuns: 60 },
    )
  })
})
