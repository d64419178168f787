/** Keys that an object puts in numerical order before all others, however they were added. */
const LIKE_A_NUMBER = /^\d/
const inOrder = (keys: string[]): string[] =>
  keys.some((key) => LIKE_A_NUMBER.test(key))
    ? Object.keys(Object.fromEntries(keys.sort().map((key) => [key, 0])))
    : keys.sort()

function textOf(value: unknown): string | undefined {
  if (typeof value !== 'object' || value === null) return JSON.stringify(value)
  if (Array.isArray(value)) return `[${value.map((part) => textOf(part) ?? 'null').join()}]`
  let text = ''
  for (const key of inOrder(Object.keys(value))) {
    const part = textOf((value as Record<string, unknown>)[key])
    if (part !== undefined) text += `${text === '' ? '' : ','}${JSON.stringify(key)}:${part}`
  }
  return `{${text}}`
}

/** Plain JSON as one text: keys sorted (those that are whole numbers first), `undefined` left out. Digests of it are stored. */
export const canonicalJson = (value: unknown): string => textOf(value) ?? 'undefined'

/** Equality of plain JSON values; key order does not matter. */
export function sameJson(a: unknown, b: unknown): boolean {
  return a === b || canonicalJson(a) === canonicalJson(b)
}
