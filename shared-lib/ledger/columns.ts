/**
 * One field of many records as a short list of plain JSON values: what stays the same is said once, numbers are the steps from one
 * to the next, texts the change of their ends. Nothing is rounded: `valuesOf` gives the same values again.
 */
export type Column =
  | ['=', unknown]
  | ['.', ...unknown[]]
  | ['~', Column, ...(string | null)[]]
  | [decimals: number, unit: number, ...(number | null)[]]

/** More decimals than any value that is kept here has. */
const MOST_DECIMALS = 9
const TENS = Array.from({ length: MOST_DECIMALS + 1 }, (_, k) => 10 ** k)

/** The values, `null` where there is none. Numbers must be finite. */
export function columnOf(values: readonly unknown[]): Column {
  const [first] = values
  if (values.every((v) => v === first) && (first === null || typeof first !== 'object')) return ['=', first]
  if (values.every((v) => v === null || typeof v === 'number'))
    return steps(values as (number | null)[]) ?? ['.', ...values]
  if (values.every((v) => v === null || typeof v === 'string')) return endings(values as (string | null)[])
  return ['.', ...values]
}

/** The `count` values of a column. */
export function valuesOf(column: Column, count: number): unknown[] {
  const [kind, ...rest] = column
  if (kind === '=') return Array.from({ length: count }, () => rest[0])
  if (kind === '.') return rest
  if (kind === '~') return fromEndings(rest as [Column, ...(string | null)[]])
  return fromSteps(column as [number, number, ...(number | null)[]])
}

/** Whole numbers of the smallest decimal place, each less the one before it, in units that divide all of these; null if that is not exact. */
function steps(values: readonly (number | null)[]): Column | null {
  let decimals = 0
  for (const v of values)
    while (v !== null && Math.round(v * TENS[decimals]!) / TENS[decimals]! !== v)
      if (++decimals > MOST_DECIMALS) return null
  const scale = TENS[decimals]!
  const whole = values.map((v) => (v === null ? null : Math.round(v * scale)))
  if (whole.some((n, i) => n !== null && (!Number.isSafeInteger(n) || n / scale !== values[i]))) return null
  let before: number | null = null
  let unit = 0
  const differences: (number | null)[] = []
  for (const n of whole) {
    if (n === null) differences.push(null)
    else if (before === null) differences.push(n)
    else {
      if (!Number.isSafeInteger(n - before)) return null
      unit = commonDivisor(unit, Math.abs(n - before))
      differences.push(n - before)
    }
    before = n ?? before
  }
  unit ||= 1
  const firstAt = whole.findIndex((n) => n !== null)
  return [decimals, unit, ...differences.map((d, i) => (d === null || i === firstAt ? d : d / unit))]
}

function fromSteps([decimals, unit, ...differences]: [number, number, ...(number | null)[]]): unknown[] {
  let before: number | null = null
  return differences.map((d) => {
    if (d === null) return null
    before = before === null ? d : before + d * unit
    return before / TENS[decimals]!
  })
}

function commonDivisor(a: number, b: number): number {
  let [x, y] = [a, b]
  while (y > 0) [x, y] = [y, x % y]
  return x
}

/** How many characters of the text before are dropped at its end, and what is put there. */
function endings(values: readonly (string | null)[]): Column {
  let before = ''
  const dropped: number[] = []
  const added = values.map((v) => {
    if (v === null) {
      dropped.push(0)
      return null
    }
    let same = 0
    while (same < v.length && v[same] === before[same]) same++
    dropped.push(before.length - same)
    before = v
    return v.slice(same)
  })
  return ['~', columnOf(dropped), ...added]
}

function fromEndings([dropped, ...added]: [Column, ...(string | null)[]]): unknown[] {
  const counts = valuesOf(dropped, added.length) as number[]
  let before = ''
  return added.map((end, i) => {
    if (end === null) return null
    before = before.slice(0, before.length - counts[i]!) + end
    return before
  })
}
