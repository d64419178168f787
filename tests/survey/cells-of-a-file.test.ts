import { describe, expect, it } from 'vitest'
import { sourceOf } from '../../shared-lib/survey/source.ts'
import { codes, HEADER, longFile, ohms, read, readSource, threeRows } from './surveys.ts'

describe('separators and decimal signs', () => {
  it.each([',', ';', '\t'])('%j is found by the headings, not by counting', (separator) => {
    const text = [HEADER, ...threeRows('S-1')].join('\n').replaceAll(',', separator)
    expect(ohms(text)).toEqual([[10.9, 11, 11.2]])
  })

  it('a semicolon file with decimal commas is read as it is meant', () => {
    const text = [HEADER, ...threeRows('S-1')].join('\n').replaceAll(',', ';').replaceAll('.', ',')
    expect(ohms(text)).toEqual([[10.9, 11, 11.2]])
  })

  it("a spreadsheet's sep= line is passed over and counted", () => {
    const text = `sep=;\n${longFile('S-1,E-7,2026-05-04,30,15.6,abc').replaceAll(',', ';')}`
    expect(codes(text)).toEqual([[3, 'resistance_ohm', 'not-a-number']])
  })

  it('1,200 is refused unless the upload declares its sign or the file settles it', () => {
    const row = 'S-1;E-7;2026-05-04;30;18;1,200'
    const head = HEADER.replaceAll(',', ';')
    expect(codes(`${head}\n${row}\n`)).toEqual([[2, 'resistance_ohm', 'ambiguous-number']])
    expect(ohms(`${head}\n${row}\n`, { decimalSign: ',' })).toEqual([[1.2]])
    expect(ohms(`${head}\n${row}\n`, { decimalSign: '.' })).toEqual([[1200]])
    expect(ohms(`${head}\n${row}\nS-2;E-7;2026-05-05;30;18;0,125\n`)).toEqual([[1.2], [0.125]])
    expect(ohms(`${head}\n${row}\nS-2;E-7;2026-05-05;30;18.5;11\n`)).toEqual([[1200], [11]])
  })

  it('a file that shows both signs settles nothing, and what reads one way only is read', () => {
    const head = HEADER.replaceAll(',', ';')
    const text = `${head}\nS-1;E-7;2026-05-04;30;18;11,2\nS-2;E-7;2026-05-04;30;18;11.2\nS-3;E-7;2026-05-04;30;18;1,200\n`
    expect(ohms(text)).toEqual([[11.2], [11.2]])
    expect(codes(text)).toEqual([[4, 'resistance_ohm', 'ambiguous-number']])
  })

  it('a plain 1 is a reading', () => {
    expect(ohms(longFile('S-1,E-7,2026-05-04,30,18,1'))).toEqual([[1]])
  })
})

describe('encodings and line ends', () => {
  const text = `${HEADER},tester\n${threeRows('S-1')
    .map((row) => `${row},Jörg`)
    .join('\n')}\n`
  const utf16 = (mark: boolean, little: boolean) => {
    const source = mark ? `\ufeff${text}` : text
    const view = new DataView(new ArrayBuffer(source.length * 2))
    for (let i = 0; i < source.length; i++) view.setUint16(i * 2, source.charCodeAt(i), little)
    return new Uint8Array(view.buffer)
  }

  it.each([
    ['UTF-8', new TextEncoder().encode(text)],
    ['UTF-8 with BOM', new TextEncoder().encode(`\ufeff${text}`)],
    ['UTF-16 LE with BOM', utf16(true, true)],
    ['UTF-16 BE with BOM', utf16(true, false)],
    ['UTF-16 LE without BOM', utf16(false, true)],
    ['UTF-16 BE without BOM', utf16(false, false)],
    ['Latin-1', Uint8Array.from(text, (character) => character.charCodeAt(0))],
    ['CRLF', new TextEncoder().encode(text.replaceAll('\n', '\r\n'))],
    ['CR', new TextEncoder().encode(text.replaceAll('\n', '\r'))],
  ])('%s is read', async (_name, bytes) => {
    const { surveys, refused } = await readSource(sourceOf(bytes))
    expect(refused).toEqual([])
    expect(surveys).toMatchObject([{ tester: 'Jörg', readings: { length: 3 } }])
  })

  it('a byte that breaks UTF-8 late in a long file makes the whole file Latin-1', async () => {
    const rows = Array.from({ length: 20_000 }, (_, i) => `S-${i},E-7,2026-05-04,30,18.6,11,`)
    const long = `${HEADER},tester\n${rows.join('\n')}Jörg\n`
    const { surveys } = await readSource(
      sourceOf(Uint8Array.from(long, (character) => character.charCodeAt(0))),
    )
    expect(surveys).toHaveLength(20_000)
    expect(surveys.at(-1)?.tester).toBe('Jörg')
  })

  it('a workbook is refused in plain words', async () => {
    const { refused } = await readSource(sourceOf(Uint8Array.from([0x50, 0x4b, 3, 4, 20, 0, 6, 0])))
    expect(refused).toMatchObject([{ row: null, code: 'not-a-csv' }])
  })
})

describe('dates', () => {
  const timeZoneOf = (electrodeId: string) => (electrodeId === 'E-7' ? 'Europe/Vienna' : undefined)
  const testedAt = (row: string, options = {}) =>
    read(longFile(row), options).surveys.map((survey) => survey.testedAt)

  it("without offset are read in the electrode's zone, UTC where it has none", () => {
    expect(testedAt('S-1,E-7,2026-05-04 10:20,30,18,11', { timeZoneOf })).toEqual([
      '2026-05-04T10:20:00+02:00',
    ])
    expect(testedAt('S-1,E-8,2026-05-04 10:20,30,18,11', { timeZoneOf })).toEqual(['2026-05-04T10:20:00Z'])
    expect(testedAt('S-1,E-7,2026-05-04,30,18,11', { timeZoneOf })).toEqual(['2026-05-04T12:00:00+02:00'])
  })

  it('in another pattern are read only when it is declared', () => {
    const row = 'S-1,E-7,04/05/2026 10:20,30,18,11'
    expect(testedAt(row)).toEqual([])
    expect(testedAt(row, { datePattern: 'DD/MM/YYYY HH:mm' })).toEqual(['2026-05-04T10:20:00Z'])
    expect(codes(longFile(row), { datePattern: 'nonsense' })).toEqual([[null, null, 'bad-column-map']])
  })

  it('to come are taken in: the judgement finds them', () => {
    expect(testedAt('S-1,E-7,2206-05-04T10:20Z,30,18,11')).toEqual(['2206-05-04T10:20:00Z'])
  })
})

describe('text cells', () => {
  it('with control characters are refused; a name of two lines too', () => {
    const text = `${HEADER},notes\nS-1,E-7,2026-05-04,30,18,11,a\u0000b\nS-2,"E\n7",2026-05-04,30,18,11,\n`
    expect(codes(text)).toEqual([
      [2, 'notes', 'odd-character'],
      [3, 'electrode_id', 'odd-character'],
    ])
  })

  it('too long for their field are refused', () => {
    expect(codes(longFile(`${'S'.repeat(101)},E-7,2026-05-04,30,18,11`))).toEqual([
      [2, 'survey_ref', 'too-long'],
    ])
  })
})
