import { LedgerError } from './ledger-error.ts'

/** DynamoDB's largest item, bytes, names included. */
export const MAX_ITEM_BYTES = 400 * 1024
/** DynamoDB's numbers reach from 1e-130 to 9.99e125; what is smaller is nothing, what is larger is a mistake. */
const SMALLEST = 1e-128
const LARGEST = 1e125

/**
 * A plain value as the table can take it: `undefined` left out, numbers too small for the table made 0. Returns the value, or a copy
 * where something had to be changed, with its size as DynamoDB counts it, in bytes (rounded up). Throws `bad-number` for NaN and
 * infinities, with the path.
 */
export function storable(value: unknown): { value: unknown; bytes: number } {
  const bytes = bytesAsIs(value)
  return Number.isNaN(bytes) ? storableCopy(value, '') : { value, bytes }
}

/** The size of a value that needs no change, NaN for one that does: most need none, and a copy of each costs three times the look. */
function bytesAsIs(value: unknown): number {
  if (typeof value === 'string') return Buffer.byteLength(value)
  if (typeof value === 'number') {
    const size = Math.abs(value)
    return size === 0 || (size >= SMALLEST && size <= LARGEST) ? 11 : Number.NaN
  }
  if (value === null || typeof value === 'boolean') return 1
  if (typeof value !== 'object') return Number.NaN
  if (value instanceof Uint8Array) return value.byteLength
  let bytes = 3
  if (Array.isArray(value)) {
    for (const part of value) bytes += bytesAsIs(part) + 1
    return bytes
  }
  for (const name in value)
    bytes += Buffer.byteLength(name) + bytesAsIs((value as Record<string, unknown>)[name]) + 1
  return bytes
}

function storableCopy(value: unknown, path: string): { value: unknown; bytes: number } {
  if (value === null || typeof value === 'boolean') return { value, bytes: 1 }
  if (typeof value === 'string') return { value, bytes: Buffer.byteLength(value) }
  if (typeof value === 'number') return { value: storableNumber(value, path), bytes: 11 }
  if (value instanceof Uint8Array) return { value, bytes: value.byteLength }
  if (Array.isArray(value)) {
    const parts = value.map((v, i) => storableCopy(v === undefined ? null : v, `${path}[${i}]`))
    return { value: parts.map((p) => p.value), bytes: parts.reduce((sum, p) => sum + p.bytes + 1, 3) }
  }
  if (typeof value === 'object') {
    const copy: Record<string, unknown> = {}
    let bytes = 3
    for (const [name, v] of Object.entries(value)) {
      if (v === undefined) continue
      const inner = storableCopy(v, path ? `${path}.${name}` : name)
      copy[name] = inner.value
      bytes += Buffer.byteLength(name) + inner.bytes + 1
    }
    return { value: copy, bytes }
  }
  throw new TypeError(`A ${typeof value} cannot be stored (at ${path}).`)
}

function storableNumber(n: number, path: string): number {
  if (!Number.isFinite(n) || Math.abs(n) > LARGEST)
    throw new LedgerError('bad-number', `Only finite numbers can be stored; ${path} is ${n}.`, { path })
  return Math.abs(n) < SMALLEST ? 0 : n
}

/** The same for a whole item. Throws `item-too-large` when it would not fit, before anything is sent. */
export function storableItem<T extends object>(item: T): T {
  const { value, bytes } = storable(item)
  if (bytes > MAX_ITEM_BYTES) throw tooLarge(item, bytes)
  return value as T
}

export function tooLarge(item: object, bytes?: number, cause?: unknown): LedgerError {
  const { pk, sk } = item as { pk?: string; sk?: string }
  return new LedgerError(
    'item-too-large',
    `One record may have ${MAX_ITEM_BYTES} bytes${bytes ? ` and this one has about ${bytes}` : ''}. A survey of up to 1,000 readings always fits.`,
    { pk, sk, bytes, limitBytes: MAX_ITEM_BYTES },
    cause,
  )
}
