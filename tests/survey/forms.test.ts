import { describe, expect, it } from 'vitest'
import { aSurvey, codes, HEADER, longFile, ohms, positions, read, threeRows } from './surveys.ts'

describe('the long form', () => {
  it('makes one survey of the rows that share a reference', () => {
    const { surveys, entries } = read(longFile(...threeRows('S-1042')))
    const { tester: _tester, ...survey } = aSurvey
    expect(surveys).toEqual([{ ...survey, measuredAs: 'not-known' }])
    expect(entries[0]).toMatchObject({ rows: { first: 2, last: 4 } })
  })

  it('lets rows after the first leave the columns of the survey empty', () => {
    const rows = ['S-1,E-7,2026-05-04,30,15.6,10.9', 'S-1,,,,18.6,11', 'S-1,,,,21.6,11.2']
    expect(positions(longFile(...rows))).toEqual([[15.6, 18.6, 21.6]])
  })

  it('keeps a survey whole whose rows are scattered through the file', () => {
    const [a, b, c] = threeRows('S-1')
    const [d, e, f] = threeRows('S-2')
    expect(positions(longFile(a!, d!, b!, e!, c!, f!))).toEqual([
      [15.6, 18.6, 21.6],
      [15.6, 18.6, 21.6],
    ])
  })

  it('refuses a survey whose rows contradict each other, by row and column, whatever the way of writing', () => {
    const text = longFile(
      'S-1,E-7,2026-05-04,30,15.6,10.9',
      'S-1,E-7,2026-05-04,30 m,18.6,11',
      'S-1,E-8,2026-05-04,30.0,21.6,11',
      ...threeRows('S-2'),
    )
    const { surveys, refused } = read(text)
    expect(surveys.map(({ surveyRef }) => surveyRef)).toEqual(['S-2'])
    expect(refused).toEqual([
      {
        kind: 'refused',
        row: 4,
        column: 'electrode_id',
        value: 'E-8',
        code: 'rows-contradict',
        problem:
          'electrode_id says “E-8”, but row 2 says “E-7”. Rows of one survey must agree: correct one, or give the other survey its own reference.',
        surveyRef: 'S-1',
      },
    ])
  })

  it('keeps equal readings that stand together: they were read so', () => {
    expect(ohms(longFile(threeRows('S-1')[0]!, threeRows('S-1')[0]!))).toEqual([[10.9, 10.9]])
  })

  it('takes a survey that is said twice, apart and alike, once, and refuses one said otherwise', () => {
    const twice = longFile(...threeRows('S-1'), ...threeRows('S-2'), ...threeRows('S-1'))
    expect(ohms(twice)).toEqual([
      [10.9, 11, 11.2],
      [10.9, 11, 11.2],
    ])
    const otherwise = longFile(
      ...threeRows('S-1'),
      ...threeRows('S-2'),
      ...threeRows('S-1', ['10.9', '12', '11.2']),
    )
    expect(read(otherwise).surveys.map(({ surveyRef }) => surveyRef)).toEqual(['S-2'])
    expect(codes(otherwise)).toEqual([[9, 'resistance_ohm', 'rows-contradict']])
  })

  it('refuses a reference that far too many rows share, without keeping them all', () => {
    const rows = Array.from({ length: 5000 }, (_, i) => `S-1,E-7,2026-05-04,30,${(i % 290) / 10 + 0.1},11`)
    expect(codes(longFile(...rows, ...threeRows('S-2')))).toEqual([[2, 'survey_ref', 'too-many-readings']])
    expect(read(longFile(...rows.slice(0, 1000))).surveys).toMatchObject([{ readings: { length: 1000 } }])
    expect(codes(longFile(...rows.slice(0, 1001)))).toEqual([[2, null, 'too-many-readings']])
  })

  it('passes over a heading row repeated where files were put together', () => {
    const text = longFile(...threeRows('S-1'))
    expect(ohms(text + text)).toEqual([[10.9, 11, 11.2]])
  })
})

describe('a bad row', () => {
  it('refuses its own survey as a whole, never the others, and every bad cell is told', () => {
    const text = longFile(
      ...threeRows('S-1'),
      'S-2,E-7,2026-05-04,30,15.6,10.9',
      'S-2,E-7,2026-05-04,30,x,abc',
      'S-2,E-7,2026-05-04,30,21.6,',
      ...threeRows('S-3'),
    )
    expect(read(text).surveys.map(({ surveyRef }) => surveyRef)).toEqual(['S-1', 'S-3'])
    expect(codes(text)).toEqual([
      [6, 'potential_probe_m', 'not-a-number'],
      [6, 'resistance_ohm', 'not-a-number'],
      [7, 'resistance_ohm', 'missing-value'],
    ])
    for (const refused of read(text).refused) expect(refused.surveyRef).toBe('S-2')
  })

  it('is counted as a spreadsheet counts, over blank lines and quoted line breaks', () => {
    const text = `${HEADER},notes\n\n${threeRows('S-1')[0]},"two\nlines"\n\n,,,,,,\nS-2,E-7,2026-05-04,30,15.6,abc,\n`
    expect(read(text).surveys[0]?.notes).toBe('two\nlines')
    expect(codes(text)).toEqual([[6, 'resistance_ohm', 'not-a-number']])
  })

  it('without a reference is refused alone; below a survey and naming nothing, it refuses that survey', () => {
    expect(codes(longFile(...threeRows('S-1'), ',E-7,2026-05-04,30,15.6,11', ...threeRows('S-2')))).toEqual([
      [5, 'survey_ref', 'missing-value'],
    ])
    const merged = longFile(...threeRows('S-1'), ',,,,24,11.3', ...threeRows('S-2'))
    expect(read(merged).surveys.map(({ surveyRef }) => surveyRef)).toEqual(['S-2'])
    expect(read(merged).refused).toMatchObject([{ row: 5, column: 'survey_ref', surveyRef: 'S-1' }])
  })

  it('with an unquoted decimal comma in a file separated by commas has too many cells', () => {
    expect(codes(longFile('S-1,E-7,2026-05-04,30,15,6,11', ...threeRows('S-2')))).toEqual([
      [2, null, 'too-many-cells'],
    ])
  })

  it('with a quotation mark inside a quoted cell is refused alone', () => {
    const text = `${HEADER},notes\n${threeRows('S-1')[0]},"3/4" rod"\n${threeRows('S-2')[0]},ok\n`
    expect(codes(text)).toEqual([[2, null, 'quotes-broken']])
    expect(read(text).surveys).toHaveLength(1)
  })

  it.each([
    ['S-1,E-7,,30,15.6,11', 'tested_at', 'missing-value'],
    ['S-1,,2026-05-04,30,15.6,11', 'electrode_id', 'field-needed'],
    ['S-1,E-7,2026-05-04,,15.6,11', 'current_probe_m', 'field-needed'],
    ['S-1,E-7,2026-05-04,30,,11', 'potential_probe_m', 'missing-value'],
    ['S-1,E-7,2026-05-04,30,15.6,', 'resistance_ohm', 'missing-value'],
    ['S-1,E-7,2026-05-04,30,15.6,0', 'resistance_ohm', 'out-of-range'],
    ['S-1,E-7,2026-05-04,30,15.6,-11', 'resistance_ohm', 'out-of-range'],
    ['S-1,E-7,2026-05-04,0,15.6,11', 'current_probe_m', 'out-of-range'],
    ['S-1,E-7,2026-05-04,30,30,11', 'potential_probe_m', 'probe-beyond'],
    ['S-1,E-7,04/05/2026,30,15.6,11', 'tested_at', 'bad-date'],
    ['S-1,E-7,2026-05-04,OL,15.6,11', 'current_probe_m', 'over-range-here'],
    ['S-1,E-7,2026-05-04,30,15.6,5 MΩ', 'resistance_ohm', 'megohm'],
  ])('%j is refused at %s as %s', (row, column, code) => {
    expect(codes(longFile(row))).toEqual([[2, column, code]])
  })
})

describe('the wide form', () => {
  const head = 'survey_ref,electrode_id,tested_at,current_probe_m,r52_ohm,r62_ohm,r72_ohm'

  it('makes a survey of each row, an empty cell being a position not read', () => {
    const text = `${head}\nS-1,E-7,2026-05-04,30,10.9,,11.2\nS-2,E-7,2026-05-05,25,10.9,OL,>2000\n`
    expect(read(text).surveys.map(({ readings }) => readings)).toEqual([
      [
        { potentialProbeM: 15.6, resistanceOhm: 10.9, condition: 'ok' },
        { potentialProbeM: 21.6, resistanceOhm: 11.2, condition: 'ok' },
      ],
      [
        { potentialProbeM: 13, resistanceOhm: 10.9, condition: 'ok' },
        { potentialProbeM: 15.5, condition: 'over-range' },
        { potentialProbeM: 18, condition: 'over-range', atLeastOhm: 2000 },
      ],
    ])
  })

  it('takes any position and any unit in the heading', () => {
    const text =
      'survey_ref,electrode_id,tested_at,current_probe_ft,R10 mohm,r_61.8_kohm\nS-1,E-7,2026-05-04,100,11200,0.011\n'
    expect(read(text).surveys[0]?.readings).toEqual([
      { potentialProbeM: 3.048, resistanceOhm: 11.2, condition: 'ok' },
      { potentialProbeM: 18.83664, resistanceOhm: 11, condition: 'ok' },
    ])
  })

  it('names the heading of a bad position', () => {
    expect(codes(`${head}\nS-1,E-7,2026-05-04,30,10.9,abc,11.2\n`)).toEqual([[2, 'r62_ohm', 'not-a-number']])
    expect(codes(`${head}\nS-1,E-7,2026-05-04,,10.9,11,11.2\n`)).toEqual([
      [2, 'current_probe_m', 'missing-value'],
    ])
    expect(codes(`${head}\nS-1,E-7,2026-05-04,30,,,\n`)).toEqual([[2, null, 'no-readings']])
    expect(codes(`${head},r100_ohm\nS-1,E-7,2026-05-04,30,,,,11\n`)).toEqual([
      [2, 'r100_ohm', 'probe-beyond'],
    ])
  })

  it('takes a survey said twice alike once, and refuses the later where they differ', () => {
    const row = 'S-1,E-7,2026-05-04,30,10.9,11,11.2'
    expect(read(`${head}\n${row}\n${row}\n`)).toMatchObject({ surveys: { length: 1 }, refused: [] })
    const other = read(`${head}\n${row}\nS-1,E-7,2026-05-04,30,10.9,11,11.3\n`)
    expect(other.surveys).toHaveLength(1)
    expect(other.refused).toMatchObject([
      { row: 3, column: 'survey_ref', code: 'survey-conflict', surveyRef: 'S-1' },
    ])
  })

  it('lets two electrodes use one reference: they are different surveys', () => {
    const text = `${head}\nS-1,E-7,2026-05-04,30,10.9,11,11.2\nS-1,E-8,2026-05-04,30,10.9,11,11.2\n`
    expect(read(text).surveys).toHaveLength(2)
  })

  it('is not mixed with the long form', () => {
    expect(codes(`${head},potential_probe_m\n`)).toEqual([[null, null, 'two-forms']])
  })
})
