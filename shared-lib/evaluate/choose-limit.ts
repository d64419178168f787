import type { Limit } from '../survey/register.ts'
import type { Survey } from '../survey/survey.ts'
import type { EvaluationContext } from './evaluation.ts'

/** One limit that this survey's value is held against. */
export interface AppliedLimit {
  purpose: string
  /** After division by the season factor, ohm. */
  limitOhm: number
  statedOhm: number
  seasonFactor: number
  basis: string | null
}

const BONDING = 'bonding'

/**
 * The limits that apply to what was connected while measuring, strictest first: rows of the limits table for that quantity, else the
 * register's plain default, which speaks of the electrode alone (and of a survey that does not say what was connected).
 * Two-point tests are held against `bonding` rows only; four-point and check-resistor against nothing.
 */
export function limitsFor(
  survey: Pick<Survey, 'method' | 'measuredAs'>,
  context: Pick<EvaluationContext, 'electrode' | 'limits'>,
): AppliedLimit[] {
  if (survey.method === 'four-point' || survey.method === 'check-resistor') return []
  const bonding = survey.method === 'two-point'
  const alone = survey.measuredAs === 'electrode-alone' || survey.measuredAs === 'not-known'
  const rows = context.limits.filter(
    (row) =>
      row.limitOhm > 0 &&
      Number.isFinite(row.limitOhm) &&
      (row.purpose.trim().toLowerCase() === BONDING) === bonding &&
      (bonding || (row.appliesTo ?? 'electrode-alone') === (alone ? 'electrode-alone' : 'connected')),
  )
  const applied = rows.map(fromTable)
  const plain = context.electrode.limitOhm
  if (!bonding && alone && applied.length === 0 && plain !== undefined && plain > 0 && Number.isFinite(plain))
    applied.push({
      purpose: 'register',
      limitOhm: plain,
      statedOhm: plain,
      seasonFactor: 1,
      basis: context.electrode.limitBasis ?? null,
    })
  return applied.filter((row) => Number.isFinite(row.limitOhm)).sort((a, b) => a.limitOhm - b.limitOhm)
}

function fromTable(row: Limit): AppliedLimit {
  const factor = row.seasonFactor
  const seasonFactor = factor !== undefined && Number.isFinite(factor) && factor > 0 ? factor : 1
  return {
    purpose: row.purpose,
    limitOhm: row.limitOhm / seasonFactor,
    statedOhm: row.limitOhm,
    seasonFactor,
    basis: row.basis ?? null,
  }
}
