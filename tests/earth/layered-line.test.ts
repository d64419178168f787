import { describe, expect, it } from 'vitest'
import { electrodeShape, relativeStrengthM, strengthDoubt } from '../../shared-lib/earth/electrode-shape.ts'
import { solveField } from '../../shared-lib/earth/field/field.ts'
import { segmentsOf } from '../../shared-lib/earth/field/segments.ts'
import { surfaceKernelPerM } from '../../shared-lib/earth/field/two-layer-soil.ts'
import { COARSE_SOIL_GUESSES, layerTermPerM, SOIL_GUESSES } from '../../shared-lib/earth/layered-line.ts'
import type { Electrode } from '../../shared-lib/survey/register.ts'

describe('potential over two layers', () => {
  it('the table agrees with the image series within 0.1 % of its size from 5 cm to 3 km', () => {
    for (const soil of SOIL_GUESSES)
      for (const r of [0.05, 0.3, 1, 4, 17, 90, 400, 3000]) {
        const exact = surfaceKernelPerM(r, soil.contrast, soil.depthM) - 1 / r
        expect(Math.abs(layerTermPerM(r, soil) - exact)).toBeLessThan(0.001 * (Math.abs(exact) + 1 / r))
      }
  })
  it('near by it tends to −ln(1 − k)/h, far away to 2k/(1 − k)/r', () => {
    const soil = { contrast: 0.5, depthM: 2 }
    expect(layerTermPerM(1e-6, soil)).toBeCloseTo(Math.LN2 / 2, 3)
    expect(layerTermPerM(1e6, soil) * 1e6).toBeCloseTo(2, 3)
  })
  it('the guesses are a belief: weights add up to one, uniform soil the likeliest', () => {
    for (const soils of [SOIL_GUESSES, COARSE_SOIL_GUESSES]) {
      expect(soils.reduce((sum, soil) => sum + soil.weight, 0)).toBeCloseTo(1, 12)
      expect(Math.max(...soils.map((soil) => soil.weight))).toBe(soils[0]!.weight)
    }
  })
})

describe('correct position over two layers', () => {
  /** Where f(x) + f(D) = f(D − x), D = 1. */
  function position(contrast: number, depthM: number): number {
    const f = (r: number) => 1 / r + layerTermPerM(r, { contrast, depthM })
    let [low, high] = [0.3, 0.95]
    for (let i = 0; i < 50; i++) {
      const x = (low + high) / 2
      if (f(x) + f(1) - f(1 - x) > 0) low = x
      else high = x
    }
    return low
  }
  // COMPUTED for a point-like electrode. Interpolation in our table costs up to 0.002.
  it.each([
    [-0.9, 0.1, 0.5805],
    [-0.9, 0.3, 0.5161],
    [-0.9, 1, 0.556],
    [-0.5, 0.2, 0.5717],
    [0.5, 0.1, 0.6555],
    [0.5, 0.5, 0.7003],
    [0.9, 0.05, 0.7359],
    [0.9, 0.3, 0.8429],
    [0.9, 1, 0.7736],
  ])('k %f, h/D %f: %f of D', (contrast, depth, p) => {
    expect(Math.abs(position(contrast, depth) - p)).toBeLessThan(0.002)
  })
})

describe('strength of the fall in proportion to the resistance', () => {
  const base = { electrodeId: 'E', siteId: 'S' }
  const electrodes: [string, Electrode, number][] = [
    ['rod of 3 m', { ...base, kind: 'rod', lengthM: 3, diameterMm: 16 }, 0.06],
    ['rod of 1.2 m', { ...base, kind: 'rod', lengthM: 1.2, diameterMm: 14 }, 0.06],
    ['three rods', { ...base, kind: 'rod-group', lengthM: 3, diameterMm: 16, count: 3, spacingM: 3 }, 0.08],
    ['wire of 20 m', { ...base, kind: 'wire', lengthM: 20, diameterMm: 10, burialDepthM: 0.5 }, 0.12],
    ['grid of 12 m', { ...base, kind: 'grid', areaM2: 144, diameterMm: 10, burialDepthM: 0.5 }, 0.14],
  ]
  it.each(electrodes)(
    '%s: within its stated doubt of the field calculation (rms over soils)',
    (_, electrode, doubt) => {
      const shape = electrodeShape(electrode)!
      expect(shape.hemisphereDoubt).toBe(doubt)
      const segments = segmentsOf(electrode)!
      let squares = 0
      let stated = 0
      for (const contrast of [-0.75, -0.5, 0.5, 0.75, 0.9])
        for (const depthM of [1.02, 2, 4, 8]) {
          const field = solveField(segments, { upperOhmM: 1, contrast, depthM })!
          const exact = 1 / (2 * Math.PI * field.resistanceOhm)
          squares += Math.log(relativeStrengthM(shape, { contrast, depthM }) / exact) ** 2
          stated += strengthDoubt(shape, { contrast, depthM }) ** 2
        }
      expect(squares).toBeLessThan(stated)
    },
  )
})
