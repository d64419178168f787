import fc from 'fast-check'
import type { Act, PlainSurvey, Scenario } from './scenario.ts'

/** One way a scenario may come in: who does what at the same time, where the service comes to rest, which queue is looked at first. */
export interface Arrival {
  waves: Act[][]
  rests: boolean[]
  queueOrder: number[]
}

type Way = 'json' | 'form' | 'upload'

/** Neighbours that come by file are one file, cut where `cut` says so. */
function grouped(parts: { survey: PlainSurvey; way: Way; cut: boolean }[]): Act[] {
  const acts: Act[] = []
  for (const { survey, way, cut } of parts) {
    const last = acts.at(-1)
    if (way !== 'upload') acts.push({ kind: way, survey })
    else if (last?.kind === 'upload' && !cut) last.surveys.push(survey)
    else acts.push({ kind: 'upload', surveys: [survey] })
  }
  return acts
}

function inWaves(acts: Act[], sizes: number[]): Act[][] {
  const waves: Act[][] = []
  for (let at = 0, i = 0; at < acts.length; i++) {
    const size = sizes[i % sizes.length]!
    waves.push(acts.slice(at, at + size))
    at += size
  }
  return waves
}

/**
 * Every survey at least once and at most three times, in any order, each by form, API or file; decisions anywhere; several at the
 * same time. Shrinks towards the file in order.
 */
export function anyArrival({
  surveys,
  decisions,
}: Pick<Scenario, 'surveys' | 'decisions'>): fc.Arbitrary<Arrival> {
  const twiceMore = [...surveys, ...surveys]
  return fc
    .record({
      order: fc.shuffledSubarray(surveys, { minLength: surveys.length }),
      again: fc.shuffledSubarray(twiceMore),
      places: fc.array(fc.nat(surveys.length), {
        minLength: twiceMore.length + decisions.length,
        maxLength: twiceMore.length + decisions.length,
      }),
      ways: fc.array(fc.record({ way: fc.constantFrom<Way>('upload', 'json', 'form'), cut: fc.boolean() }), {
        minLength: 3 * surveys.length,
        maxLength: 3 * surveys.length,
      }),
      sizes: fc.array(fc.integer({ min: 1, max: 4 }), { minLength: 1, maxLength: 6 }),
      rests: fc.array(fc.boolean(), { minLength: 1, maxLength: 8 }),
      queueOrder: fc.array(fc.nat(2), { minLength: 1, maxLength: 8 }),
    })
    .map(({ order, again, places, ways, sizes, rests, queueOrder }) => {
      const all = [...order]
      for (const [i, survey] of again.entries()) all.splice(places[i]!, 0, survey)
      const acts = grouped(all.map((survey, i) => ({ survey, ...ways[i]! })))
      for (const [i, decision] of decisions.entries())
        acts.splice(places[twiceMore.length + i]!, 0, { kind: 'decision', decision })
      return { waves: inWaves(acts, sizes), rests, queueOrder }
    })
}
