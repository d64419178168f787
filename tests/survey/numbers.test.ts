import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { READING_FIELDS, SURVEY_FIELDS } from '../../shared-lib/survey/fields.ts'
import { decimalSignShown, readNumber } from '../../shared-lib/survey/numbers.ts'

const ohm = READING_FIELDS.resistanceOhm
const metres = SURVEY_FIELDS.currentProbeM
const celsius = SURVEY_FIELDS.soilTemperatureC
const value = (number: number) => ({ kind: 'value', value: number })
const refused = (code: string) => ({ kind: 'refused', code })

describe('a number in a cell', () => {
  it.each([
    ['11.2', 11.2],
    [' 7 ', 7],
    ['1', 1],
    ['11,2', 11.2],
    ['0,125', 0.125],
    ['.5', 0.5],
    [',5', 0.5],
    ['1200,5', 1200.5],
    ['1,200.5', 1200.5],
    ['1.234,5', 1234.5],
    ['1,234,567', 1234567],
    ['1\u00a0200,5', 1200.5],
    ["1'200.5", 1200.5],
    ['1e3', 1000],
    ['1,2E+03', 1200],
    ['1.200', 1.2],
  ])('%j is read as %d', (cell, expected) => {
    expect(readNumber(cell, ohm)).toEqual(value(expected))
  })

  it.each([
    ['11.2 Ω', 11.2],
    ['11.2 \u2126', 11.2],
    ['11.2ohm', 11.2],
    ['850 mΩ', 0.85],
    ['850 mohm', 0.85],
    ['1,2 kOhm', 1200],
    ['1.2kΩ', 1200],
  ])('%j is read with its unit as %d ohm', (cell, expected) => {
    expect(readNumber(cell, ohm)).toEqual(value(expected))
  })

  it('converts feet by the international foot, 0.3048 m', () => {
    expect(readNumber('98 ft', metres)).toEqual(value(29.8704))
    expect(readNumber('98', metres, { unit: 'ft' })).toEqual(value(29.8704))
  })

  it("lets the cell's unit win over the column's", () => {
    expect(readNumber('30 m', metres, { unit: 'ft' })).toEqual(value(30))
  })

  it('reads degrees Fahrenheit, and a minus sign however it is typed', () => {
    expect(readNumber('14 °F', celsius)).toEqual(value(-10))
    expect(readNumber('\u22124', celsius)).toEqual(value(-4))
    expect(readNumber('-0', celsius)).toEqual(value(0))
  })

  it.each(['5 MΩ', '5 Mohm', '5 MOhm', '5 MOHM', '5 megohm', '5 Megaohm', '5 MEGOHM'])(
    'refuses %j: megohm is not guessed',
    (cell) => {
      expect(readNumber(cell, ohm)).toEqual(refused('megohm'))
    },
  )

  it.each([
    'abc',
    'NaN',
    'Infinity',
    '-',
    '.',
    '5.',
    '1,2,3',
    '1.2.3',
    '1 2',
    '4.5.2026',
    '١٢',
    '１２',
    '0x10',
    '1e999',
    '--5',
    '~11',
  ])('refuses %j as no number', (cell) => {
    expect(readNumber(cell, ohm)).toEqual(refused('not-a-number'))
  })

  it('refuses a resistance or a distance of zero or less, and one below the display', () => {
    for (const cell of ['0', '-1', '0,0']) expect(readNumber(cell, ohm)).toEqual(refused('out-of-range'))
    expect(readNumber('0', metres)).toEqual(refused('out-of-range'))
    expect(readNumber('<0.01', ohm)).toEqual(refused('below-range'))
  })

  it('refuses a unit of another kind', () => {
    expect(readNumber('11 V', ohm)).toEqual(refused('unknown-unit'))
    expect(readNumber('11 ohm', metres)).toEqual(refused('unknown-unit'))
  })
})

describe('the decimal sign', () => {
  it('decides a lone group of three', () => {
    expect(readNumber('1,200', ohm)).toEqual(refused('ambiguous-number'))
    expect(readNumber('1,200', ohm, { decimalSign: '.' })).toEqual(value(1200))
    expect(readNumber('1,200', ohm, { decimalSign: ',' })).toEqual(value(1.2))
    expect(readNumber('1.200', ohm, { decimalSign: ',' })).toEqual(value(1200))
    expect(readNumber('1.200', ohm, { pointDoubtful: true })).toEqual(refused('ambiguous-number'))
  })

  it('refuses a cell that contradicts it', () => {
    expect(readNumber('11,2', ohm, { decimalSign: '.' })).toEqual(refused('other-decimal-sign'))
    expect(readNumber('11.2', ohm, { decimalSign: ',' })).toEqual(refused('other-decimal-sign'))
  })

  it.each([
    ['11,2', ','],
    ['0,125', ','],
    ['1.234,5', ','],
    ['1.234.567', ','],
    ['1,2 kOhm', ','],
    ['11.2', '.'],
    ['>0.5', '.'],
    ['1,200', null],
    ['1.200', null],
    ['1200', null],
    ['abc', null],
  ])('%j shows %j', (cell, sign) => {
    expect(decimalSignShown(cell)).toBe(sign)
  })
})

describe('over range', () => {
  it.each(['OL', 'ol', 'O.L', 'O.L.', 'OVL', 'over range', 'Over-Range', '∞'])('%j is over range', (cell) => {
    expect(readNumber(cell, ohm)).toEqual({ kind: 'over-range' })
  })

  it('keeps the number after > as the lower bound', () => {
    expect(readNumber('>2000', ohm)).toEqual({ kind: 'over-range', atLeast: 2000 })
    expect(readNumber('> 2 kΩ', ohm)).toEqual({ kind: 'over-range', atLeast: 2000 })
    expect(readNumber('>2000', ohm, { unit: 'mohm' })).toEqual({ kind: 'over-range', atLeast: 2 })
  })

  it("is understood in a reading's resistance only", () => {
    for (const cell of ['OL', '>2000'])
      expect(readNumber(cell, SURVEY_FIELDS.probeHOhm)).toEqual(refused('over-range-here'))
  })
})

describe('any cell at all', () => {
  const reading = fc.record(
    {
      decimalSign: fc.constantFrom('.' as const, ',' as const),
      pointDoubtful: fc.boolean(),
      unit: fc.constantFrom('ft', 'mohm', 'f'),
    },
    { requiredKeys: [] },
  )
  const cell = fc.oneof(
    fc.string({ unit: 'grapheme' }),
    fc.string({ unit: fc.constantFrom(...'0123456789.,-+ >eEΩmkMohft\u00a0') }),
  )

  it('gives a finite number within bounds or a refusal, never NaN', () => {
    fc.assert(
      fc.property(cell, reading, fc.constantFrom(ohm, metres, celsius), (text, how, field) => {
        const result = readNumber(text, field, how)
        if (result.kind === 'value') {
          expect(Number.isFinite(result.value)).toBe(true)
          expect(result.value).toBeLessThanOrEqual(field.max)
        }
      }),
      { numRuns: 2000 },
    )
  })

  it('reads back every number as JavaScript writes it', () => {
    fc.assert(
      fc.property(fc.double({ min: 1e-9, max: 1e9, noNaN: true }), (number) => {
        expect(readNumber(String(number), ohm)).toEqual(value(number))
      }),
    )
  })
})

describe('digits with or without a point', () => {
  it('are the very number that they are in JSON, however many there are', () => {
    const digits = (most: number) => fc.stringMatching(new RegExp(`^[0-9]{1,${most}}$`))
    fc.assert(
      fc.property(digits(11), fc.option(digits(11)), (whole, fraction) => {
        const cell = fraction === null ? whole : `${whole}.${fraction}`
        const read = readNumber(cell, { ...celsius, min: 0, max: 1e12 })
        expect(read).toEqual(value(Number(cell)))
      }),
      { numRuns: 2000 },
    )
  })
})
