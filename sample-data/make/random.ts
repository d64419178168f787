/**
 * Seeded chance. Every draw comes from a stream named by what it is for, so that adding a draw in one place moves nothing
 * elsewhere, and the same source makes the same bytes on every machine.
 */

/** Change this and every file changes. */
export const SEED = 'ulmarrow-1'

export interface Random {
  /** Uniform in [0, 1). */
  next(): number
  /** Uniform between the two bounds. */
  between(low: number, high: number): number
  /** Whole number from low to high, both included. */
  whole(low: number, high: number): number
  /** Mean 0, standard deviation 1, never beyond 6: a sum of twelve uniforms, exact on every machine. */
  normal(): number
  pick<T>(of: readonly T[]): T
  chance(probability: number): boolean
}

/** FNV-1a, 32 bits. */
function hash(text: string): number {
  let h = 0x811c9dc5
  for (let i = 0; i < text.length; i++) h = Math.imul(h ^ text.charCodeAt(i), 0x01000193)
  return h >>> 0
}

/** The well-known 32-bit mixer "mulberry32", numbers in [0, 1): small, and good enough to scatter invented readings. */
export function seeded(seed: number): () => number {
  let state = seed >>> 0
  return () => {
    state = (state + 0x6d2b79f5) >>> 0
    let t = state
    t = Math.imul(t ^ (t >>> 15), t | 1)
    t ^= t + Math.imul(t ^ (t >>> 7), t | 61)
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296
  }
}

/** The stream of that name; asked for twice it starts again. */
export function randomFor(...name: readonly (string | number)[]): Random {
  const next = seeded(hash(`${SEED}|${name.join('|')}`))
  const between = (low: number, high: number) => low + (high - low) * next()
  return {
    next,
    between,
    whole: (low, high) => low + Math.floor(next() * (high - low + 1)),
    normal: () => {
      let sum = -6
      for (let i = 0; i < 12; i++) sum += next()
      return sum
    },
    pick: (of) => of[Math.floor(next() * of.length)]!,
    chance: (probability) => next() < probability,
  }
}
