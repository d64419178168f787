/**
 * An ISO 8601 day or instant with any offset as a UTC instant of fixed width, so that text order is time order. '' stays ''
 * (= always). Text that is no date is kept as it is: it sorts somewhere, and nothing is lost over it.
 */
export function utcInstant(iso: string): string {
  if (iso === '') return ''
  const ms = Date.parse(iso)
  return Number.isNaN(ms) ? iso : new Date(ms).toISOString()
}
