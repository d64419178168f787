import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { parseColumnMap } from '../../shared-lib/survey/column-map.ts'
import type { ReadOptions } from '../../shared-lib/survey/file-plan.ts'
import { readElectrodes, readLimits } from '../../shared-lib/survey/read-register.ts'
import { readSurveys, type SurveyEntry } from '../../shared-lib/survey/read-surveys.ts'
import { scanSurveyFile } from '../../shared-lib/survey/scan.ts'
import { sourceOf } from '../../shared-lib/survey/source.ts'
import { fuzz } from './fuzz.ts'
import { nastyText, spoilt } from './nasty.ts'

/** Everything a reader makes of these bytes: it may refuse the file or parts of it, and must come to an end. */
async function entriesOf(bytes: Uint8Array, options: ReadOptions = {}): Promise<SurveyEntry[] | null> {
  const open = sourceOf(bytes)
  const scanned = await scanSurveyFile(open, options)
  if (!scanned.ok) {
    expect(scanned.refused.problem).not.toBe('')
    return null
  }
  const entries: SurveyEntry[] = []
  for await (const entry of readSurveys(open, scanned.plan, options)) entries.push(entry)
  for (const entry of entries) if (entry.kind === 'refused') expect(entry.problem).not.toBe('')
  return entries
}

const quoted = (cell: string): string => `"${cell.replaceAll('"', '""')}"`
const COLUMNS = [
  'survey_ref',
  'electrode_id',
  'tested_at',
  'current_probe_m',
  'potential_probe_m',
  'resistance_ohm',
  'notes',
]

/** A file of whole, well-quoted rows whose references are sound and whose other cells may be anything at all. */
const wholeFile = fc.record({
  separator: fc.constantFrom(',', ';', '\t'),
  encoding: fc.constantFrom('utf8', 'utf16le', 'utf8-bom'),
  extra: fc.array(nastyText, { maxLength: 2 }),
  surveys: fc.array(
    fc.array(
      fc.record({
        electrode: spoilt(fc.constantFrom('E-1', 'E-2')),
        testedAt: spoilt(fc.constantFrom('2026-05-04', '2026-05-04T10:20:00+01:00')),
        current: spoilt(fc.constantFrom('30', '25.5')),
        potential: spoilt(fc.constantFrom('15.6', '18.6', '21.6')),
        ohm: spoilt(fc.constantFrom('10.9', '11', '11.2 \u03a9', 'OL')),
        notes: nastyText,
      }),
      { minLength: 1, maxLength: 4 },
    ),
    { minLength: 1, maxLength: 6 },
  ),
})

function bytesOf({
  separator,
  encoding,
  extra,
  surveys,
}: typeof wholeFile extends fc.Arbitrary<infer T> ? T : never) {
  const rows = surveys.flatMap((readings, i) =>
    readings.map((r) => [
      `S-${i}`,
      r.electrode,
      r.testedAt,
      r.current,
      r.potential,
      r.ohm,
      r.notes,
      ...extra,
    ]),
  )
  const text = [[...COLUMNS, ...extra], ...rows]
    .map((cells) => cells.map(quoted).join(separator))
    .join('\r\n')
  if (encoding === 'utf16le') return Buffer.concat([Buffer.from([0xff, 0xfe]), Buffer.from(text, 'utf16le')])
  return Buffer.from(encoding === 'utf8-bom' ? `\ufeff${text}` : text)
}

describe('the reader of survey files', () => {
  it('accounts for every survey of a file whatever is in its cells: taken in or refused, never both, never neither', async () => {
    await fuzz('csv-surveys', wholeFile, async (file) => {
      const entries = await entriesOf(bytesOf(file))
      if (entries === null) return
      const taken = entries.flatMap((e) => (e.kind === 'survey' ? [e.survey.surveyRef] : []))
      const refused = new Set(
        entries.flatMap((e) => (e.kind === 'refused' && e.surveyRef ? [e.surveyRef] : [])),
      )
      const handedIn = file.surveys.map((_, i) => `S-${i}`)
      expect([...taken, ...refused].sort()).toEqual(handedIn.sort())
    })
  }, 3_600_000)

  it('comes to an end with words whatever the bytes are', async () => {
    const bytes = fc.oneof(
      fc.uint8Array({ maxLength: 400 }).map((b) => [...b]),
      fc
        .array(fc.oneof(nastyText, fc.constantFrom(',', ';', '\t', '\n', '\r', '"', '""', ...COLUMNS)), {
          maxLength: 60,
        })
        .map((parts) => [...Buffer.from(parts.join(''))]),
    )
    await fuzz('csv-bytes', bytes, async (b) => {
      await entriesOf(Uint8Array.from(b))
    })
  }, 3_600_000)

  it('takes any column map or says why not, and reads a file with it', async () => {
    const file = Buffer.from('No,Pole,When,Dist,Ohms\nS-1,E-1,04.05.2026,30,10.9\n')
    const word = fc.oneof(nastyText, fc.constantFrom('No', 'Pole', 'When', 'Dist', 'Ohms', ...COLUMNS))
    const maps = fc.oneof(
      fc.jsonValue(),
      fc.record(
        {
          columns: fc.dictionary(
            word,
            fc.oneof(word, fc.record({ field: word, unit: word }), fc.jsonValue()),
            {
              maxKeys: 6,
            },
          ),
          decimalSign: fc.oneof(fc.constantFrom('.', ','), fc.jsonValue()),
          datePattern: fc.oneof(fc.constantFrom('DD.MM.YYYY', 'D/M/YY', 'YYYY'), nastyText),
        },
        { requiredKeys: ['columns'] },
      ),
    )
    let taken = 0
    await fuzz('column-map', maps, async (json) => {
      const parsed = parseColumnMap(json)
      if (!parsed.ok) {
        expect(parsed.reason).not.toBe('')
        return
      }
      taken++
      // What was taken is a map that would be taken again.
      expect(parseColumnMap(parsed.map).ok).toBe(true)
      await entriesOf(file, { columnMap: parsed.map })
    })
    expect(taken).toBeGreaterThan(0)
  }, 3_600_000)
})

describe('the reader of register files', () => {
  it('comes to an end with words whatever is in the cells', async () => {
    const row = fc.tuple(
      spoilt(fc.constantFrom('E-1', 'E-2', 'E-3')),
      spoilt(fc.constantFrom('North', 'South')),
      spoilt(fc.constantFrom('rod', 'grid', 'ring')),
      spoilt(fc.constantFrom('25', '1', '')),
      spoilt(fc.constantFrom('ana@example.org', '')),
    )
    await fuzz('csv-register', fc.array(row, { maxLength: 6 }), async (rows) => {
      const heading = ['electrode_id', 'site_id', 'kind', 'limit_ohm', 'responsible_email']
      const text = [heading, ...rows].map((cells) => cells.map(quoted).join(',')).join('\n')
      for (const read of [readElectrodes, readLimits]) {
        const answer = JSON.stringify(await read(sourceOf(Buffer.from(text))))
        expect(answer).not.toBe('')
      }
    })
  }, 3_600_000)
})
