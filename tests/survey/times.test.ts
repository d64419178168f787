import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { datePatternOf, isDatePattern } from '../../shared-lib/survey/date-pattern.ts'
import { readDay, readInstant } from '../../shared-lib/survey/times.ts'
import { isTimeZone, offsetSecondsAt } from '../../shared-lib/survey/zones.ts'

const iso = (text: string, { datePattern, ...zone }: { timeZone?: string; datePattern?: string } = {}) => {
  const pattern = datePattern === undefined ? null : datePatternOf(datePattern)
  const time = readInstant(text, { ...zone, ...(pattern && { datePattern: pattern }) })
  return time.ok ? time.iso : time.code
}

describe('a moment', () => {
  it.each([
    ['2026-05-04T10:20:00+01:00', '2026-05-04T10:20:00+01:00'],
    ['2026-05-04T10:20+0100', '2026-05-04T10:20:00+01:00'],
    ['2026-05-04 10:20:30Z', '2026-05-04T10:20:30Z'],
    ['20260504T1020Z', '2026-05-04T10:20:00Z'],
    ['2026-05-04T10:20:00,25-03', '2026-05-04T10:20:00.250-03:00'],
  ])('%j keeps its own offset: %j', (text, expected) => {
    expect(iso(text, { timeZone: 'Asia/Tokyo' })).toBe(expected)
  })

  it('without offset is read in the zone, summer and winter', () => {
    const timeZone = 'Europe/Vienna'
    expect(iso('2026-07-04T10:20', { timeZone })).toBe('2026-07-04T10:20:00+02:00')
    expect(iso('2026-01-04 10:20', { timeZone })).toBe('2026-01-04T10:20:00+01:00')
    expect(iso('2026-01-04 10:20')).toBe('2026-01-04T10:20:00Z')
  })

  it('that is a day alone is that day at noon there', () => {
    expect(iso('2026-05-04', { timeZone: 'Asia/Kolkata' })).toBe('2026-05-04T12:00:00+05:30')
    expect(iso('2026-05-04')).toBe('2026-05-04T12:00:00Z')
  })

  it('in an hour that clocks skip keeps the offset from before, in an hour they repeat is the first', () => {
    const timeZone = 'Europe/Vienna'
    expect(iso('2026-03-29T02:30', { timeZone })).toBe('2026-03-29T02:30:00+01:00')
    expect(iso('2026-10-25T02:30', { timeZone })).toBe('2026-10-25T02:30:00+02:00')
    expect(iso('2026-10-25T03:30', { timeZone })).toBe('2026-10-25T03:30:00+01:00')
  })

  it.each([
    '2026-02-30',
    '2026-13-01',
    '2026-05-04T24:00',
    '2026-05-04T10:60',
    '04/05/2026',
    '4.5.2026',
    '2026-5-4',
    'today',
    '',
    '1526-05-04',
    '2026-05-04T10:20+25:00',
    '2026-05',
  ])('refuses %j', (text) => {
    expect(iso(text)).toBe('bad-date')
  })

  it('comes out the same, and is refused alike, whether it is written the usual way or with a space', () => {
    const number = (max: number) => fc.integer({ min: 0, max }).map((n) => String(n).padStart(2, '0'))
    const fraction = fc.constantFrom('', '.000', '.25')
    const offset = fc.constantFrom('Z', '+01:00', '-18:59', '+19:00', '+02:60')
    const year = fc.constantFrom('1899', '1900', '2024', '2026')
    fc.assert(
      fc.property(
        fc.tuple(year, number(13), number(32)),
        fc.tuple(number(25), number(61), number(61), fraction, offset),
        (day, [hour, minute, second, rest, at]) => {
          const clock = `${hour}:${minute}:${second}${rest}${at}`
          expect(iso(`${day.join('-')}T${clock}`)).toBe(iso(`${day.join('-')} ${clock}`))
        },
      ),
      { numRuns: 2000 },
    )
  })

  it('refuses a zone that does not exist', () => {
    expect(iso('2026-05-04', { timeZone: 'Mars/Olympus' })).toBe('bad-time-zone')
    expect(isTimeZone('Mars/Olympus')).toBe(false)
    expect(isTimeZone('__proto__')).toBe(false)
  })
})

describe('a declared pattern', () => {
  it.each([
    ['DD/MM/YYYY', '04/05/2026', '2026-05-04T12:00:00Z'],
    ['MM/DD/YYYY', '04/05/2026', '2026-04-05T12:00:00Z'],
    ['DD.MM.YYYY HH:mm', '04.05.2026 10:20', '2026-05-04T10:20:00Z'],
    ['D.M.YY H:mm:ss', '4.5.26 9:20:07', '2026-05-04T09:20:07Z'],
    ['M/D/YYYY h:mm A', '5/4/2026 12:05 am', '2026-05-04T00:05:00Z'],
    ['YYYY-DD-MM', '2026-04-05', '2026-05-04T12:00:00Z'],
    ['DD.MM.YYYY HH:mm Z', '04.05.2026 10:20 +02:00', '2026-05-04T10:20:00+02:00'],
  ])('%j reads %j as %j', (datePattern, text, expected) => {
    expect(iso(text, { datePattern })).toBe(expected)
  })

  it('leaves ISO 8601 readable, except where the pattern itself begins with the year', () => {
    expect(iso('2026-05-04', { datePattern: 'DD/MM/YYYY' })).toBe('2026-05-04T12:00:00Z')
    expect(iso('2026-05-20', { datePattern: 'YYYY-DD-MM' })).toBe('bad-date')
  })

  it('refuses what the calendar does not have', () => {
    expect(iso('31/02/2026', { datePattern: 'DD/MM/YYYY' })).toBe('bad-date')
  })

  it.each([
    'DD/MM',
    'YYYY',
    '',
    'DD/MM/YYYY HH',
    'DD/DD/MM/YYYY',
    'DD/MM/YYYY h:mm',
    '(((((',
    'DD/MM/YYYY HH:mm A',
  ])('%j is no pattern', (pattern) => {
    expect(isDatePattern(pattern)).toBe(false)
  })
})

describe('a day', () => {
  it('stays a day; a moment with offset stays a moment', () => {
    expect(readDay('2026-05-04')).toEqual({ ok: true, iso: '2026-05-04' })
    expect(readDay('2026-05-04T10:20')).toEqual({ ok: true, iso: '2026-05-04' })
    expect(readDay('2026-05-04T10:20+01:00')).toEqual({ ok: true, iso: '2026-05-04T10:20:00+01:00' })
    expect(readDay('04.05.2026', { datePattern: datePatternOf('DD.MM.YYYY')! })).toEqual({
      ok: true,
      iso: '2026-05-04',
    })
  })

  it('given as a year, or a month, is the first it can mean', () => {
    expect(readDay('1998')).toEqual({ ok: true, iso: '1998-01-01' })
    expect(readDay('1998-07')).toEqual({ ok: true, iso: '1998-07-01' })
  })
})

describe('every local time in every zone', () => {
  it('comes out with an offset that the zone has at that moment, gaps aside', () => {
    const zones = [
      'Europe/Vienna',
      'America/New_York',
      'Australia/Lord_Howe',
      'Asia/Kathmandu',
      'Pacific/Apia',
      'Africa/Casablanca',
    ]
    const minutes = fc.integer({ min: 0, max: 60 * 24 * 365 * 12 })
    fc.assert(
      fc.property(fc.constantFrom(...zones), minutes, (timeZone, minute) => {
        const local = new Date(Date.UTC(2014, 0, 1) + minute * 60_000).toISOString().slice(0, 16)
        const time = readInstant(local, { timeZone })
        if (!time.ok) throw new Error(time.code)
        expect(time.iso.slice(0, 16)).toBe(local)
        const atMs = Date.parse(time.iso)
        const shown = new Date(atMs + offsetSecondsAt(timeZone, atMs)! * 1000).toISOString().slice(0, 16)
        // Within a gap the clock shows a later time; nowhere an earlier one, and never by more than the gap.
        const aheadMinutes = (Date.parse(`${shown}Z`) - Date.parse(`${local}Z`)) / 60_000
        expect([0, 30, 60]).toContain(aheadMinutes)
      }),
      { numRuns: 3000 },
    )
  })
})
