import { expect, it } from 'vitest'
import { electrodeShape } from '../../shared-lib/earth/electrode-shape.ts'
import { COARSE_SOIL_GUESSES, SOIL_GUESSES } from '../../shared-lib/earth/layered-line.ts'
import { lineModels } from '../../shared-lib/evaluate/line-models.ts'

const shape = electrodeShape({ electrodeId: 'E', siteId: 'S', kind: 'rod', lengthM: 3, diameterMm: 16 })!
const at = (currentProbeM: number, shares = [0.52, 0.62, 0.72]) => ({
  potentialProbeM: shares.map((p) => p * currentProbeM),
  currentProbeM,
  angleDeg: 0,
  origins: shape.origins,
})

it('gives the same models for the same stakes, however many other lines and soils came in between', () => {
  const before = structuredClone(lineModels(shape, COARSE_SOIL_GUESSES, at(30)))
  expect(lineModels(shape, COARSE_SOIL_GUESSES, at(30))).toEqual(before)
  for (let i = 1; i <= 300; i++)
    lineModels(shape, i % 2 ? SOIL_GUESSES : COARSE_SOIL_GUESSES, at(30 + i, [0.1, 0.3, 0.5, 0.7, 0.9]))
  const again = lineModels(shape, COARSE_SOIL_GUESSES, at(30))
  const used = (models: typeof again) => Array.from(models.fall.subarray(0, models.count * models.positions))
  expect(used(again)).toEqual(used(before))
  expect(Array.from(again.logPrior.subarray(0, again.count))).toEqual(Array.from(before.logPrior))
})

it('tells lines apart that differ in one stake, the angle or the soils', () => {
  const first = lineModels(shape, COARSE_SOIL_GUESSES, at(30)).fall[0]
  expect(lineModels(shape, COARSE_SOIL_GUESSES, at(30, [0.53, 0.62, 0.72])).fall[0]).not.toBe(first)
  expect(lineModels(shape, COARSE_SOIL_GUESSES, { ...at(30), angleDeg: 90 }).fall[0]).not.toBe(first)
  expect(lineModels(shape, SOIL_GUESSES, at(30)).count).toBeGreaterThan(COARSE_SOIL_GUESSES.length)
})
