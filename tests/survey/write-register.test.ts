import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import type { Field } from '../../shared-lib/survey/field-types.ts'
import {
  readCalibrations,
  readElectrodes,
  readLimits,
  readWorks,
} from '../../shared-lib/survey/read-register.ts'
import {
  CALIBRATION_FIELDS,
  ELECTRODE_FIELDS,
  LIMIT_FIELDS,
  WORK_FIELDS,
} from '../../shared-lib/survey/register-fields.ts'
import {
  calibrationsCsv,
  electrodesCsv,
  limitsCsv,
  worksCsv,
} from '../../shared-lib/survey/write-register.ts'

/** Text as it is kept: composed, no space at its ends, no character that is refused; formulas and quotes among it. */
const text = (maxLength: number, unit: fc.Arbitrary<string>) =>
  fc
    .array(unit, { minLength: 1, maxLength: Math.min(maxLength, 12) })
    .map((parts) => parts.join('').normalize('NFC').trim())
    .filter((kept) => kept !== '' && kept.length <= maxLength)
const character = fc.oneof(
  fc.constantFrom(...'=+-@\'",; \tabc019.é漢😀Ω'),
  fc.string({ unit: 'grapheme-ascii', minLength: 1, maxLength: 1 }),
)
const oneLine = character.filter((c) => c !== '\t')
const manyLines = fc.oneof(oneLine, fc.constant('\n'))

const day = fc
  .integer({ min: Date.UTC(1950, 0, 1) / 86_400_000, max: Date.UTC(2050, 0, 1) / 86_400_000 })
  .map((n) => new Date(n * 86_400_000).toISOString().slice(0, 10))
const instant = fc
  .tuple(day, fc.constantFrom('Z', '+02:00', '-09:30'))
  .map(([d, zone]) => `${d}T10:20:00${zone}`)

function anyValue(field: Field): fc.Arbitrary<string | number> {
  switch (field.type) {
    case 'number': {
      const min = field.min ?? field.above ?? 0
      if (field.whole) return fc.integer({ min, max: field.max })
      return fc
        .oneof(
          fc.double({ min, max: field.max, noNaN: true }),
          fc
            .integer({ min: Math.ceil(min * 1000), max: Math.min(field.max * 1000, 2 ** 31 - 1) })
            .map((n) => n / 1000),
        )
        .filter((n) => (field.above === undefined || n > field.above + 1e-11) && !Object.is(n, -0))
    }
    case 'word':
      return fc.constantFrom(...field.words)
    case 'email':
      return fc.constantFrom('ana@example.org', 'o=neill+earths@example.org')
    case 'zone':
      return fc.constantFrom('UTC', 'Europe/Oslo', 'America/St_Johns')
    case 'day':
    case 'instant':
      return fc.oneof(day, instant)
    case 'id':
      return text(field.maxLength, oneLine)
    default:
      return text(field.maxLength, manyLines)
  }
}

const TABLES = [
  {
    name: 'electrodes',
    fields: ELECTRODE_FIELDS,
    needed: ['electrodeId', 'siteId', 'kind'],
    csv: electrodesCsv,
    read: readElectrodes,
  },
  {
    name: 'limits',
    fields: LIMIT_FIELDS,
    needed: ['electrodeId', 'purpose', 'limitOhm'],
    csv: limitsCsv,
    read: readLimits,
  },
  {
    name: 'instruments',
    fields: CALIBRATION_FIELDS,
    needed: ['instrumentId', 'calibratedOn'],
    csv: calibrationsCsv,
    read: readCalibrations,
  },
  {
    name: 'works',
    fields: WORK_FIELDS,
    needed: ['electrodeId', 'doneOn', 'what'],
    csv: worksCsv,
    read: readWorks,
  },
]

describe('a table of the register as CSV', () => {
  it.each(TABLES)(
    'of $name reads back to what was written, whatever stands in it',
    async ({ fields, needed, csv, read }) => {
      const entry = fc.record(
        Object.fromEntries(Object.entries(fields).map(([key, field]) => [key, anyValue(field as Field)])),
        { requiredKeys: needed },
      )
      const entries = fc.uniqueArray(entry, {
        selector: (e) => String(Object.values(e)[0]),
        minLength: 1,
        maxLength: 4,
      })
      await fc.assert(
        fc.asyncProperty(entries, async (written) => {
          const file = csv.header() + written.map((e) => csv.row(e as never)).join('')
          const { items, refused, unknownColumns } = await read(file)
          expect(refused).toEqual([])
          expect(unknownColumns).toEqual([])
          expect(items).toEqual(written)
        }),
        { numRuns: 200 },
      )
    },
  )
})
