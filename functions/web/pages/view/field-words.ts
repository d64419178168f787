import type { Field, StoredUnit } from '../../../../shared-lib/survey/field-types.ts'
import { instant, number } from './format.ts'
import {
  CONDITION_WORDS,
  LINK_WORDS,
  MEASURED_AS_WORDS,
  METHOD_WORDS,
  OUTCOME_WORDS,
  plainWord,
} from './words.ts'

const UNIT_SIGNS: Record<StoredUnit, string> = {
  m: 'm',
  mm: 'mm',
  m2: 'm²',
  ohm: 'Ω',
  deg: '°',
  C: '°C',
  V: 'V',
  Hz: 'Hz',
  mA: 'mA',
  '%': '%',
  months: 'months',
  none: '',
}

/** A field's label with its unit, as it stands over a control: `Distance of the current probe (m)`. */
export function labelWithUnit(field: Field, unit?: string): string {
  if (field.type !== 'number') return field.label
  const sign =
    unit ?? (field.unit === 'ohm' ? 'ohm' : field.unit === 'deg' ? 'degrees' : UNIT_SIGNS[field.unit])
  return sign === '' ? field.label : `${field.label} (${sign})`
}

const WORDS: Record<string, Record<string, string>> = {
  method: METHOD_WORDS,
  outcome: OUTCOME_WORDS,
  measured_as: MEASURED_AS_WORDS,
  condition: CONDITION_WORDS,
  link_checked: LINK_WORDS,
}

/** One word of a field as people read it. */
export function wordOf(field: Field, value: string): string {
  const plain = plainWord(value)
  return WORDS[field.column]?.[value] ?? plain.charAt(0).toUpperCase() + plain.slice(1)
}

/** A stored value with its unit, as it was understood. */
export function valueWords(field: Field, value: string | number): string {
  if (field.type === 'number') {
    const unit = UNIT_SIGNS[field.unit]
    return `${number(Number(value), 7)}${unit === '' ? '' : unit === '°' ? '°' : ` ${unit}`}`
  }
  if (field.type === 'instant' || field.type === 'day') return instant(String(value))
  return field.type === 'word' ? wordOf(field, String(value)) : String(value)
}
