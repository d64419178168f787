import type { PeerTest } from './assessment.ts'
import { DAY_MS } from './observation.ts'
import { medianOr } from './statistics/robust-scale.ts'

/** The site's other electrodes, each with its tests in order of day. */
export type Neighbours = { day: number; y: number }[][]

/** Groups peers by electrode and series; the electrode itself and invalid tests are left out. */
export function neighboursOf(electrodeId: string, siteId: string, peers: readonly PeerTest[]): Neighbours {
  const byKey = new Map<string, Map<string, { day: number; y: number; ref: string }>>()
  for (const p of peers) {
    if (p.electrodeId === electrodeId || p.siteId !== siteId || p.validity === 'invalid') continue
    if (!Number.isFinite(p.lnOhm) || !Number.isFinite(p.testedAtMs)) continue
    const key = `${p.electrodeId}/${p.measuredAs}`
    const tests = byKey.get(key) ?? new Map()
    tests.set(p.surveyRef, { day: p.testedAtMs / DAY_MS, y: p.lnOhm, ref: p.surveyRef })
    byKey.set(key, tests)
  }
  return [...byKey.values()].map((tests) =>
    [...tests.values()].sort((a, b) => a.day - b.day || (a.ref < b.ref ? -1 : 1)),
  )
}

/**
 * How the neighbours moved together from day `from` to day `to`, ln; null without any. Each counts with its tests nearest to
 * the two days, at most seven days after and twenty-one before; the middle one of them all cannot be carried by one bad test.
 */
export function sharedShift(
  neighbours: Neighbours,
  from: number,
  to: number,
): { shiftLn: number; count: number } | null {
  const shifts: number[] = []
  for (const tests of neighbours) {
    const a = nearest(tests, from)
    const b = nearest(tests, to)
    if (a !== null && b !== null && a !== b) shifts.push(b.y - a.y)
  }
  return shifts.length === 0 ? null : { shiftLn: medianOr(shifts, 0), count: shifts.length }
}

function nearest(tests: Neighbours[number], day: number): Neighbours[number][number] | null {
  let best: Neighbours[number][number] | null = null
  for (const t of tests) {
    const after = t.day - day
    if (after > 7 || after < -21) continue
    if (best === null || Math.abs(after) < Math.abs(best.day - day)) best = t
  }
  return best
}
