/** What a column can hold. One `Field` is one line of a catalogue; reading, writing, JSON schema and form labels follow from it. */

/** The unit a value is stored in; a cell or a column may give another unit of the same dimension. */
export type StoredUnit = 'm' | 'mm' | 'm2' | 'ohm' | 'deg' | 'C' | 'V' | 'Hz' | 'mA' | '%' | 'months' | 'none'

interface Common {
  /** Name in a CSV file. */
  readonly column: string
  /** Plain words for a person, without the unit. */
  readonly label: string
  /** Heading under which a form or a document shows it. */
  readonly group: string
}

export interface NumberField extends Common {
  readonly type: 'number'
  readonly unit: StoredUnit
  /** Smallest value that is taken, inclusive; `above` is exclusive. In the stored unit. */
  readonly min?: number
  readonly above?: number
  readonly max: number
  readonly whole?: true
  /** A display's over-range marker is a reading here. */
  readonly overRange?: true
}
export interface TextField extends Common {
  /** An `id` is one line; a `text` may have several. */
  readonly type: 'text' | 'id' | 'email' | 'zone'
  readonly maxLength: number
}
/** `instant` is a moment with offset; `day` is a calendar day, or an instant where one is given. */
export interface TimeField extends Common {
  readonly type: 'instant' | 'day'
}
export interface WordField<W extends string = string> extends Common {
  readonly type: 'word'
  readonly words: readonly W[]
}
export type Field = NumberField | TextField | TimeField | WordField

/** The fields that can hold a value of type T. */
export type FieldFor<T> = [T] extends [number]
  ? NumberField
  : [T] extends [string]
    ? string extends T
      ? TextField | TimeField
      : WordField<T>
    : never

/** A number nearer than this to a bound it must be above counts as the bound: nothing measured is that small, and a store may keep 0 of it. */
export const NEAREST_TO_BOUND = 1e-12

type Bounds = Pick<NumberField, 'min' | 'above' | 'max' | 'whole' | 'overRange'>

export const number = (
  column: string,
  label: string,
  group: string,
  unit: StoredUnit,
  bounds: Bounds,
): NumberField => ({ type: 'number', column, label, group, unit, ...bounds })

export const id = (column: string, label: string, group: string): TextField => ({
  type: 'id',
  column,
  label,
  group,
  maxLength: 100,
})

export const text = (column: string, label: string, group: string, maxLength = 300): TextField => ({
  type: 'text',
  column,
  label,
  group,
  maxLength,
})

export const email = (column: string, label: string, group: string): TextField => ({
  type: 'email',
  column,
  label,
  group,
  maxLength: 254,
})

export const zone = (column: string, label: string, group: string): TextField => ({
  type: 'zone',
  column,
  label,
  group,
  maxLength: 64,
})

export const instant = (column: string, label: string, group: string): TimeField => ({
  type: 'instant',
  column,
  label,
  group,
})

export const day = (column: string, label: string, group: string): TimeField => ({
  type: 'day',
  column,
  label,
  group,
})

export const word = <const W extends string>(
  column: string,
  label: string,
  group: string,
  words: readonly W[],
): WordField<W> => ({ type: 'word', column, label, group, words })
