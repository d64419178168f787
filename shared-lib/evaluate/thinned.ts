/** More readings than this on one line are thinned: the answer no longer changes, what is worked out and kept would. */
const MOST_READINGS = 40

/** The readings themselves, or forty of them spread evenly over all, in their order. */
export function thinned<T>(readings: readonly T[]): readonly T[] {
  if (readings.length <= MOST_READINGS) return readings
  const step = readings.length / MOST_READINGS
  return Array.from({ length: MOST_READINGS }, (_, i) => readings[Math.floor(i * step)]!)
}
