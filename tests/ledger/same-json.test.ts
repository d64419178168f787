import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { canonicalJson, sameJson } from '../../shared-lib/ledger/same-json.ts'

/** As the platform writes it when each object is put in order first: digests of this text are stored. */
const asStored = (value: unknown): string =>
  JSON.stringify(value, (_key, v: unknown) =>
    v && typeof v === 'object' && !Array.isArray(v)
      ? Object.fromEntries(Object.entries(v).sort(([a], [b]) => (a < b ? -1 : 1)))
      : v,
  ) ?? 'undefined'

const json = fc.jsonValue({ noUnicodeString: false })
const keys = fc.oneof(
  fc.string(),
  fc.nat().map(String),
  fc.constantFrom('007', '-1', '4294967295', '1e3', '٣'),
)
const objects = fc.dictionary(keys, fc.oneof(json, fc.constant(undefined), fc.constant(Number.NaN)))

describe('canonical JSON', () => {
  it('is the text that stored digests were made of, also for keys that are numbers', () => {
    fc.assert(
      fc.property(fc.oneof(json, objects, fc.array(objects)), (value) => {
        expect(canonicalJson(value)).toBe(asStored(value))
      }),
      { numRuns: 500 },
    )
  })

  it('is the same whatever order the keys were given in', () => {
    fc.assert(
      fc.property(objects, (value) => {
        expect(sameJson(value, Object.fromEntries(Object.entries(value).reverse()))).toBe(true)
      }),
    )
  })
})
