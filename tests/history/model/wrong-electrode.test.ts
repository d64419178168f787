import { describe, expect, it } from 'vitest'
import { DEFAULT_BELIEFS } from '../../../shared-lib/history/model/beliefs.ts'
import type { Outlook } from '../../../shared-lib/history/model/explanations.ts'
import { type Candidate, mixUps } from '../../../shared-lib/history/model/wrong-electrode.ts'

interface Test extends Candidate<Test> {
  shape: number
}

const expecting = (mean: number): Outlook[] => {
  const story = { kind: 'nothing' as const, weight: 1, recent: false }
  const fit = { x0: mean, x1: 0, x2: 0, x3: 0, noiseVar: 0.003 }
  const outlook = { story: { ...story, fit }, option: 0, weight: 1, mean, scale: 0.06 }
  return [outlook as unknown as Outlook]
}
/** An electrode that should read `mean`, read `y`, and explains that by `evidence` without any mix-up. */
const test = (electrodeId: string, mean: number, y: number, more: Partial<Test> = {}): Test => ({
  electrodeId,
  y,
  outlooks: expecting(mean),
  probeM: 30,
  usualProbeM: 30,
  // A value in place is common; one that stands off takes a break or a parallel path.
  evidence: Math.abs(y - mean) < 0.2 ? 5 : 0.005,
  own: false,
  shape: 1,
  shapeAs: (other) => other.shape,
  ...more,
})
const chances = (visit: readonly Test[]) =>
  mixUps(visit, DEFAULT_BELIEFS).map(({ weight, bestId }, i) => ({
    chance: weight / (weight + visit[i]!.evidence),
    bestId,
  }))

describe('sheets of one visit', () => {
  const sound = [test('C', 4.1, 4.1), test('D', 1.2, 1.25)]

  it('that fit crosswise have changed places, both of them, and nobody else is blamed', () => {
    const [a, b, c, d] = chances([test('A', 2, 3), test('B', 3, 2), ...sound])
    expect(a).toMatchObject({ bestId: 'B', chance: expect.closeTo(1, 1) })
    expect(b).toMatchObject({ bestId: 'A', chance: expect.closeTo(1, 1) })
    expect(a!.chance).toBeCloseTo(b!.chance, 6)
    expect(Math.max(c!.chance, d!.chance)).toBeLessThan(0.01)
  })

  it('do not blame an electrode like the one that was swapped', () => {
    const visit = [test('A', 2, 3), test('B', 3, 2), test('B2', 3.03, 3.02), ...sound]
    expect(chances(visit)[2]!.chance).toBeLessThan(0.02)
  })

  it('do not blame a sound electrode beside a broken one whose value happens to be its own', () => {
    const [broken, sane] = chances([test('A', 2, 3), test('B', 3, 3.02), ...sound])
    expect(sane!.chance).toBeLessThan(0.3)
    expect(sane!.chance).toBeLessThan(broken!.chance)
  })

  it('are not taken for one another when the curve is not the other electrode’s', () => {
    const flat = { shape: 1e-4 }
    const [a] = chances([test('A', 2, 3, flat), test('B', 3, 2, flat), ...sound])
    expect(a!.chance).toBeLessThan(0.05)
  })

  it('tell by the distance on them whose they are', () => {
    const of = (probeM: number) =>
      chances([test('A', 2, 3, { probeM }), test('B', 3, 3.5, { usualProbeM: 45 }), ...sound])[0]!.chance
    expect(of(45)).toBeGreaterThan(of(30))
  })

  it('say nothing where one reading stands off the others, or where nobody else was tested', () => {
    expect(chances([test('A', 2, 3, { own: true }), test('B', 3, 3)])[0]!.chance).toBe(0)
    expect(chances([test('A', 2, 3)])[0]).toEqual({ chance: 0, bestId: null })
  })
})
