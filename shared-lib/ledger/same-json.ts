/** Plain JSON as one text: keys sorted, `undefined` left out. */
export function canonicalJson(value: unknown): string {
  return (
    JSON.stringify(value, (_key, v: unknown) =>
      v && typeof v === 'object' && !Array.isArray(v)
        ? Object.fromEntries(Object.entries(v).sort(([a], [b]) => (a < b ? -1 : 1)))
        : v,
    ) ?? 'undefined'
  )
}

/** Equality of plain JSON values; key order does not matter. */
export function sameJson(a: unknown, b: unknown): boolean {
  return a === b || canonicalJson(a) === canonicalJson(b)
}
