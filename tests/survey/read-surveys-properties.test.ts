import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { contentHash } from '../../shared-lib/survey/content-id.ts'
import { readSurveysFromText, type SurveyEntry } from '../../shared-lib/survey/read-surveys.ts'
import { type OpenSource, sourceOf } from '../../shared-lib/survey/source.ts'
import type { Survey } from '../../shared-lib/survey/survey.ts'
import { surveyCsvHeader, surveyCsvRows } from '../../shared-lib/survey/write-csv.ts'
import { HEADER, hashes, read, readSource, surveyArb } from './surveys.ts'

const cutAt = (bytes: Uint8Array, sizes: readonly number[]): OpenSource =>
  async function* () {
    let at = 0
    for (let i = 0; at < bytes.length; i++) {
      const size = sizes[i % sizes.length]!
      yield bytes.subarray(at, at + size)
      at += size
    }
  }

const surveysArb = fc
  .integer({ min: 1, max: 8 })
  .chain((count) => fc.tuple(...Array.from({ length: count }, (_, i) => surveyArb(`S-${i}`))))

/** Surveys as rows of cells, some with a cell that cannot be read. */
const rowsArb = fc.array(
  fc.record({
    ohms: fc.array(fc.constantFrom('10.9', '11', 'OL', '>2000', '0.5'), { minLength: 1, maxLength: 4 }),
    bad: fc.constantFrom(undefined, undefined, 'abc', '', '-1', '5 MΩ'),
  }),
  { minLength: 1, maxLength: 12 },
)

const blocksOf = (drawn: { ohms: string[]; bad: string | undefined }[]) =>
  drawn.map(({ ohms, bad }, i) => ({
    ref: `S-${i}`,
    isBad: bad !== undefined,
    rows: (bad === undefined ? ohms : [...ohms, bad]).map(
      (ohm, j) => `S-${i},E-7,2026-05-04,30,${j + 1},${ohm}`,
    ),
  }))

const refsOf = (entries: readonly SurveyEntry[], kind: 'survey' | 'refused') =>
  new Set(
    entries.flatMap((entry) =>
      entry.kind === 'survey'
        ? kind === 'survey'
          ? [entry.survey.surveyRef]
          : []
        : kind === 'refused'
          ? [entry.surveyRef]
          : [],
    ),
  )

describe('reading surveys', () => {
  it('accounts for every survey: accepted and refused together are what was handed in, none in both', () => {
    fc.assert(
      fc.property(rowsArb, (drawn) => {
        const blocks = blocksOf(drawn)
        const { entries, surveys } = read([HEADER, ...blocks.flatMap(({ rows }) => rows)].join('\n'))
        const good = blocks.filter(({ isBad }) => !isBad).map(({ ref }) => ref)
        const bad = blocks.filter(({ isBad }) => isBad).map(({ ref }) => ref)
        expect(surveys.map(({ surveyRef }) => surveyRef).sort()).toEqual(good.sort())
        expect([...refsOf(entries, 'refused')].sort()).toEqual(bad.sort())
      }),
    )
  })

  it('gives the same surveys from the rows in any order', () => {
    fc.assert(
      fc.property(
        rowsArb.chain((drawn) => {
          const rows = blocksOf(drawn).flatMap((block) => block.rows)
          return fc.tuple(fc.constant(rows), fc.shuffledSubarray(rows, { minLength: rows.length }))
        }),
        ([rows, shuffled]) => {
          const one = read([HEADER, ...rows].join('\n'))
          const other = read([HEADER, ...shuffled].join('\n'))
          expect(hashes(other.surveys)).toEqual(hashes(one.surveys))
          expect(refsOf(other.entries, 'refused')).toEqual(refsOf(one.entries, 'refused'))
        },
      ),
    )
  })

  it('gives the same surveys from a file cut at survey boundaries, in any order, and from it twice', () => {
    fc.assert(
      fc.property(rowsArb, fc.integer({ min: 1, max: 11 }), fc.boolean(), (drawn, at, turned) => {
        const blocks = blocksOf(drawn)
        const file = (some: typeof blocks) => [HEADER, ...some.flatMap(({ rows }) => rows)].join('\n')
        const whole = read(file(blocks))
        const parts = [blocks.slice(0, at), blocks.slice(at)]
        const inParts = (turned ? parts.reverse() : parts).flatMap((part) => read(file(part)).surveys)
        expect(hashes(inParts)).toEqual(hashes(whole.surveys))
        const twice = read(`${file(blocks)}\n${file(blocks)}`)
        expect(hashes(twice.surveys)).toEqual(hashes(whole.surveys))
      }),
    )
  })

  it('does not depend on where the bytes are cut, in any encoding', async () => {
    const encodings = [
      (text: string) => new TextEncoder().encode(text),
      (text: string) => new TextEncoder().encode(`\ufeff${text}`),
      (text: string) =>
        new Uint8Array(Uint16Array.from(`\ufeff${text}`.split(''), (unit) => unit.charCodeAt(0)).buffer),
    ]
    await fc.assert(
      fc.asyncProperty(
        surveysArb,
        fc.constantFrom(...encodings),
        fc.array(fc.integer({ min: 1, max: 90 }), { minLength: 1, maxLength: 5 }),
        async (surveys, encode, sizes) => {
          const text = surveyCsvHeader() + surveys.map(surveyCsvRows).join('')
          const bytes = encode(text)
          const whole = await readSource(sourceOf(bytes))
          const cut = await readSource(cutAt(bytes, sizes))
          expect(cut.entries).toEqual(whole.entries)
          expect(readSurveysFromText(text).entries).toEqual(whole.entries)
        },
      ),
    )
  })

  it('never throws and never gives a number that is none, whatever the bytes', async () => {
    const soup = fc.oneof(
      fc.uint8Array({ maxLength: 300 }),
      fc.string({ unit: 'binary', maxLength: 200 }).map((text) => new TextEncoder().encode(text)),
      fc
        .array(
          fc.constantFrom(
            ...HEADER.split(','),
            'r62_ohm',
            ',',
            ';',
            '\n',
            '"',
            '\r',
            '1',
            '11,2',
            'OL',
            'S-1',
            '2026-05-04',
            '\u0000',
            '__proto__',
          ),
          {
            maxLength: 60,
          },
        )
        .map((words) => new TextEncoder().encode(words.join(''))),
      fc
        .array(
          fc.array(
            fc.constantFrom(
              'S-1',
              'S-2',
              '',
              'E-7',
              '30',
              '1,5',
              '1.5',
              'OL',
              '2026-05-04',
              '"',
              '-',
              '1e400',
              'NaN',
            ),
            { maxLength: 8 },
          ),
          {
            maxLength: 12,
          },
        )
        .map((rows) => new TextEncoder().encode([HEADER, ...rows.map((row) => row.join(','))].join('\n'))),
    )
    await fc.assert(
      fc.asyncProperty(soup, async (bytes) => {
        const { surveys, refused } = await readSource(sourceOf(bytes))
        for (const survey of surveys) {
          for (const value of Object.values(survey))
            if (typeof value === 'number') expect(Number.isFinite(value)).toBe(true)
          for (const { resistanceOhm } of survey.readings)
            if (resistanceOhm !== undefined) expect(resistanceOhm).toBeGreaterThan(0)
        }
        for (const record of refused) expect(record.problem.length).toBeGreaterThan(20)
      }),
      { numRuns: 500 },
    )
  })
})

describe('what is exported', () => {
  it('can be handed in again and is the same survey, whatever its text holds', () => {
    fc.assert(
      fc.property(surveysArb, (surveys) => {
        const back = read(surveyCsvHeader() + surveys.map(surveyCsvRows).join(''))
        expect(back.refused).toEqual([])
        expect(back.surveys.map(contentHash)).toEqual(surveys.map(contentHash))
        expect(back.surveys.map(({ notes }) => notes)).toEqual(surveys.map(({ notes }: Survey) => notes))
      }),
      { numRuns: 300 },
    )
  })
})
