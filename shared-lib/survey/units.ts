import type { StoredUnit } from './field-types.ts'

/**
 * Units a cell, a heading or a column map may give, and how they become the stored unit. Exact factors: foot 0.3048 m (international
 * foot). Megohm is known only to be refused: it differs from milliohm by one letter's case and by a factor of a thousand million.
 */

type Dimension =
  | 'length'
  | 'area'
  | 'resistance'
  | 'angle'
  | 'temperature'
  | 'voltage'
  | 'frequency'
  | 'current'
  | 'plain'

interface Unit {
  dimension: Dimension
  /** Value in the dimension's base unit = value * times / over (+ offset before scaling, for degrees Fahrenheit). */
  times: number
  over: number
  offset?: number
}

const unit = (dimension: Dimension, times = 1, over = 1, offset?: number): Unit =>
  offset === undefined ? { dimension, times, over } : { dimension, times, over, offset }

const STORED: Record<StoredUnit, Unit> = {
  m: unit('length'),
  mm: unit('length', 1, 1000),
  m2: unit('area'),
  ohm: unit('resistance'),
  deg: unit('angle'),
  C: unit('temperature'),
  V: unit('voltage'),
  Hz: unit('frequency'),
  mA: unit('current', 1, 1000),
  '%': unit('plain'),
  months: unit('plain'),
  none: unit('plain'),
}

const foot = unit('length', 3048, 10_000)
const inch = unit('length', 254, 10_000)
const ohm = unit('resistance')
const milliohm = unit('resistance', 1, 1000)
const kilohm = unit('resistance', 1000)
const degree = unit('angle')
const celsius = unit('temperature')
const fahrenheit = unit('temperature', 5, 9, -32)

/** Spelled exactly so, after `plainSpelling`; only where a letter's case changes the meaning is it kept. */
const UNITS = new Map<string, Unit>([
  ...(['m', 'metre', 'metres', 'meter', 'meters'] as const).map((name) => [name, unit('length')] as const),
  ['mm', unit('length', 1, 1000)],
  ['cm', unit('length', 1, 100)],
  ['km', unit('length', 1000)],
  ...(['ft', 'feet', 'foot'] as const).map((name) => [name, foot] as const),
  ...(['in', 'inch', 'inches'] as const).map((name) => [name, inch] as const),
  ['m2', unit('area')],
  ...(['ohm', 'ohms'] as const).map((name) => [name, ohm] as const),
  ...(['mohm', 'mohms', 'milliohm', 'milliohms'] as const).map((name) => [name, milliohm] as const),
  ...(['kohm', 'kohms', 'kiloohm', 'kiloohms', 'kilohm', 'kilohms'] as const).map(
    (name) => [name, kilohm] as const,
  ),
  ...(['°', 'deg', 'degree', 'degrees'] as const).map((name) => [name, degree] as const),
  ...(['c', '°c', 'degc'] as const).map((name) => [name, celsius] as const),
  ...(['f', '°f', 'degf'] as const).map((name) => [name, fahrenheit] as const),
  ['v', unit('voltage')],
  ['mv', unit('voltage', 1, 1000)],
  ['kv', unit('voltage', 1000)],
  ['hz', unit('frequency')],
  ['khz', unit('frequency', 1000)],
  ['ma', unit('current', 1, 1000)],
  ['a', unit('current')],
  ['%', unit('plain')],
])

export type UnitReading =
  | { ok: true; toStored(value: number): number }
  | { ok: false; code: 'megohm' | 'unknown-unit' }

const MEGOHM = /^(M(Ω|[oO][hH][mM]s?)|[mM]eg[a]?[oO]hms?|MEGA?OHMS?)$/

/** `unitText` as written; the letter case of a leading m or M is looked at before it is dropped. */
export function readUnit(unitText: string, stored: StoredUnit): UnitReading {
  // U+2126 ohm sign and U+03A9 omega look alike; so do U+2103 and °C.
  const spelled = unitText
    .replaceAll('\u2126', 'Ω')
    .replaceAll('\u2103', '°C')
    .replaceAll('\u2109', '°F')
    .replace(/\s+/g, '')
  if (STORED[stored].dimension === 'resistance' && MEGOHM.test(spelled)) return { ok: false, code: 'megohm' }
  // An M that is not milli, mega or metre in resistance never gets this far.
  const plain = spelled.replace('Ω', 'ohm').replace('²', '2').toLowerCase()
  const from = UNITS.get(plain)
  const to = STORED[stored]
  const plainButOther = to.dimension === 'plain' && plain !== stored
  if (!from || from.dimension !== to.dimension || plainButOther) return { ok: false, code: 'unknown-unit' }
  return {
    ok: true,
    toStored: (value) => {
      const scaled = ((value + (from.offset ?? 0)) * from.times * to.over) / (from.over * to.times)
      return from.times === to.times && from.over === to.over ? scaled : Number(scaled.toPrecision(12))
    },
  }
}

/** Suffixes a heading may carry in place of the stored unit's own, as `current_probe_ft` for `current_probe_m`. */
export const UNIT_VARIANTS: Partial<
  Record<StoredUnit, { own: string; others: { suffix: string; unit: string }[] }>
> = {
  m: { own: 'm', others: [{ suffix: 'ft', unit: 'ft' }] },
  ohm: {
    own: 'ohm',
    others: [
      { suffix: 'mohm', unit: 'mohm' },
      { suffix: 'kohm', unit: 'kohm' },
    ],
  },
  C: { own: 'c', others: [{ suffix: 'f', unit: 'f' }] },
}
