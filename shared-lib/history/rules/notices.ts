import type { Finding } from '../../survey/finding.ts'
import type { Electrode } from '../../survey/register.ts'
import type { PriorTest } from '../assessment.ts'
import { rounded } from '../comparison.ts'
import { DAY_MS, yearsBetween } from '../days.ts'

/** What a notice reads of a test. */
export interface Seen {
  test: PriorTest
  day: number
  y: number
}

/** Findings that explain, quietly: they never hide a limit and never ask for anything urgent. */
function notice(code: Finding['code'], message: string, evidence: Record<string, unknown>): Finding {
  return { code, severity: 'notice', probability: null, message, advice: [], evidence }
}

/** What differs in the set-up from the test before; empty when nothing recorded does. */
function setUpChanges(current: Seen, previous: Seen): string[] {
  const a = current.test
  const b = previous.test
  const changes: string[] = []
  if (a.lineDirection && b.lineDirection && a.lineDirection !== b.lineDirection)
    changes.push(`line ${b.lineDirection} to ${a.lineDirection}`)
  if (a.currentProbeM && b.currentProbeM && Math.abs(Math.log(a.currentProbeM / b.currentProbeM)) > 0.1)
    changes.push(`current probe ${rounded(b.currentProbeM)} m to ${rounded(a.currentProbeM)} m`)
  if (a.connection && b.connection && a.connection !== b.connection)
    changes.push(`${b.connection} to ${a.connection}`)
  return changes
}

/** `set-up-changed`: another line, distance or connection than last time. */
export function setUpChanged(current: Seen, previous: Seen): Finding | null {
  const changes = setUpChanges(current, previous)
  if (changes.length === 0) return null
  return notice(
    'set-up-changed',
    `Measured in another way than last time (${changes.join(', ')}), so a small difference may come from that. Keep the old line and distances where they are sound.`,
    { changes, previous: previous.test.surveyRef },
  )
}

/** `after-recorded-work`: the first test after work; says whether it helped, and never judges a step across it. */
export function afterRecordedWork(
  current: Seen,
  work: { what: string; doneOn: string | null },
  beforeLn: number | null,
): Finding {
  const ratio = beforeLn === null ? null : Math.exp(current.y - beforeLn)
  const change =
    ratio === null
      ? 'there is nothing from before to compare with'
      : `${rounded(Math.exp(current.y))} ohm against ${rounded(Math.exp(beforeLn!))} ohm before, ${ratio > 1.1 ? 'worse than before' : ratio < 0.9 ? 'better than before' : 'about as before'}`
  return notice(
    'after-recorded-work',
    `First test after recorded work (${work.what}${work.doneOn ? ` on ${work.doneOn}` : ''}): ${change}. A new baseline starts here${ratio !== null && ratio > 1.1 ? '; check that the work did what it should' : ''}.`,
    {
      work: work.what,
      doneOn: work.doneOn,
      ratioToBefore: ratio === null ? null : rounded(ratio),
      beforeOhm: beforeLn === null ? null : rounded(Math.exp(beforeLn)),
    },
  )
}

/** New electrodes fall 10 to 30 % in their first two years (practice, no source): `settling-in`, when this is such a fall. */
export function settlingIn(current: Seen, expectedLn: number, electrode: Electrode): Finding | null {
  if (!electrode.installedOn) return null
  const ageYears = yearsBetween(Date.parse(electrode.installedOn) / DAY_MS, current.day)
  const fall = 1 - Math.exp(current.y - expectedLn)
  if (!(ageYears >= 0 && ageYears <= 2) || fall < 0.08 || fall > 0.35) return null
  return notice(
    'settling-in',
    `${Math.round(fall * 100)} % lower than before, ${rounded(ageYears, 2)} years after installation: new electrodes often settle by 10 to 30 %. Nothing to do.`,
    { fallPercent: rounded(fall * 100, 2), ageYears: rounded(ageYears, 2) },
  )
}

/** `site-wide-shift`: the neighbours moved too, so season or weather explains it; it explains a drift, never a limit. */
export function siteWideShift(shiftLn: number, neighbours: number, outOfSeason: boolean): Finding {
  const percent = Math.round((Math.exp(shiftLn) - 1) * 100)
  return notice(
    'site-wide-shift',
    `The ${neighbours} other electrodes of this site moved by ${percent > 0 ? '+' : ''}${percent} % together, so season or weather explains as much here${outOfSeason ? ', though it is more than a season usually does' : ''}. ${outOfSeason ? 'Ask whether a shared conductor was cut or taken.' : 'It does not excuse a value over the limit.'}`,
    { sharedShiftPercent: percent, neighbours, beyondSeason: outOfSeason },
  )
}
