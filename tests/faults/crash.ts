import { type Disturbance, nameOf, type Step } from './steps.ts'

/** A place in the program where a process can end: the n-th time a step of this name is reached, before it or after it. */
export interface CrashPoint {
  step: string
  nth: number
  when: 'before' | 'after'
}

export const crashPointName = (p: CrashPoint): string => `${p.when} ${p.step} (${p.nth})`

/** Counts the steps of a run by name. */
export function recorder(): { by: Disturbance; seen: Map<string, number> } {
  const seen = new Map<string, number>()
  return {
    seen,
    by: {
      async before(step) {
        seen.set(nameOf(step), (seen.get(nameOf(step)) ?? 0) + 1)
      },
      after: async () => {},
      taken: (_, of) => of,
    },
  }
}

/** Before and after the first and the last time each step is taken. */
export function crashPoints(seen: ReadonlyMap<string, number>): CrashPoint[] {
  return [...seen].flatMap(([step, count]) =>
    [...new Set([1, count])].flatMap((nth) =>
      (['before', 'after'] as const).map((when) => ({ step, nth, when })),
    ),
  )
}

/**
 * Calls `end` at that point. When `end` returns (in one process the end is only played), nothing after it ever goes on: every later
 * step waits for ever, as in a process that is no more.
 */
export function crashAt(point: CrashPoint, end: () => void): Disturbance {
  let count = 0
  let over = false
  const forEver = () => new Promise<never>(() => {})
  const reached = async (step: Step, when: CrashPoint['when']) => {
    if (over) return forEver()
    if (when === 'before' && nameOf(step) === point.step) count++
    if (when === point.when && nameOf(step) === point.step && count >= point.nth) {
      over = true
      end()
      return forEver()
    }
  }
  return {
    before: (step) => reached(step, 'before'),
    after: (step) => reached(step, 'after'),
    taken: (_, of) => of,
  }
}
