import type { RefusedRow } from '../../../../shared-lib/ledger/kept/upload.ts'
import { SURVEY_CATALOGUE } from '../../../../shared-lib/survey/catalogue.ts'

/**
 * What a refused cell may have been meant to say, likeliest first. Only offered: a person chooses, nothing is filled in by itself.
 * Empty where there is no honest guess.
 */
export function offerCorrections(refused: Pick<RefusedRow, 'code' | 'column' | 'value'>): string[] {
  const value = refused.value?.trim() ?? ''
  const field = refused.column === null ? undefined : SURVEY_CATALOGUE.find(refused.column)?.field
  switch (refused.code) {
    case 'ambiguous-number':
      // A fourth digit leaves no doubt which of the two is meant.
      return [`${value.replace(',', '.')}0`, value.replace(/[.,]/g, '')]
    case 'other-decimal-sign':
      return [value.includes(',') ? value.replace(',', '.') : value.replace('.', ',')]
    case 'bad-date':
      return isoDates(value)
    case 'not-a-number':
      return loneNumber(value)
    case 'unknown-word':
    case 'missing-value':
    case 'field-needed':
      return field?.type === 'word' ? byLikeness(value, field.words) : []
    default:
      return []
  }
}

/** Day before month and month before day, as ISO 8601; only those that are dates. A time of day stays. */
function isoDates(text: string): string[] {
  const parts = /^(\d{1,4})[./-](\d{1,2})[./-](\d{1,4})(?:[ T,]+(\d{1,2}:\d\d(?::\d\d)?))?$/.exec(text)
  if (!parts) return []
  const [, first = '', second = '', third = '', time] = parts
  const orders =
    first.length === 4
      ? [
          [first, second, third],
          [first, third, second],
        ]
      : [
          [third, second, first],
          [third, first, second],
        ]
  const dates = orders.flatMap(([year = '', month = '', day = '']) => {
    const full = year.length === 2 ? `20${year}` : year
    const iso = `${full}-${month.padStart(2, '0')}-${day.padStart(2, '0')}`
    const real = new Date(`${iso}T00:00:00Z`)
    const exists = !Number.isNaN(real.getTime()) && real.toISOString().startsWith(iso)
    return exists ? [time === undefined ? iso : `${iso}T${time.padStart(5, '0')}`] : []
  })
  return [...new Set(dates)]
}

/** The one number in a cell with other signs round it, also where a letter was typed for a digit it looks like. */
function loneNumber(text: string): string[] {
  const inside = text.match(/\d+(?:[.,]\d+)?/g) ?? []
  const lookalike = text.replace(/[oO]/g, '0').replace(/[lI]/g, '1')
  return /^\d+(?:[.,]\d+)?$/.test(lookalike) ? [lookalike] : inside.length === 1 ? [inside[0]] : []
}

function byLikeness(text: string, words: readonly string[]): string[] {
  const plain = (s: string) => s.toLowerCase().replace(/[\s_-]+/g, '')
  const distance = new Map(words.map((w) => [w, editDistance(plain(text), plain(w))]))
  return [...words].sort((a, b) => distance.get(a)! - distance.get(b)!)
}

/** Levenshtein's distance: letters put in, left out or replaced. */
function editDistance(a: string, b: string): number {
  let above = Array.from({ length: b.length + 1 }, (_, i) => i)
  for (let i = 1; i <= a.length; i++) {
    const row = [i]
    for (let j = 1; j <= b.length; j++)
      row.push(Math.min(row[j - 1]! + 1, above[j]! + 1, above[j - 1]! + (a[i - 1] === b[j - 1] ? 0 : 1)))
    above = row
  }
  return above[b.length]!
}
