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
export function setUpChanges(current: Seen, previous: Seen): string[] {
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

/** Distances that differ by less than this factor move a sound curve's middle too little to see. */
const FAR_LN = Math.log(1.6)

/** A change that may by itself move the value: another line, another connection, a much nearer or farther current probe. */
export function setUpMatters(current: Seen, previous: Seen): boolean {
  const a = current.test
  const b = previous.test
  const line = a.lineDirection && b.lineDirection && a.lineDirection !== b.lineDirection
  const connection = a.connection && b.connection && a.connection !== b.connection
  const far =
    a.currentProbeM && b.currentProbeM && Math.abs(Math.log(a.currentProbeM / b.currentProbeM)) > FAR_LN
  return Boolean(line || connection || far)
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

/** Season alone can raise a value by less than this from one test to the next. */
const WORSE_RATIO = 1.25

/**
 * `after-recorded-work`: the first test after work; says whether it helped, and never judges a step across it. Told aloud where the
 * work left the value clearly worse, or still over its limit.
 */
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
  const failing = current.test.conformity === 'nonconforming'
  const worse = ratio !== null && ratio > WORSE_RATIO
  const finding = notice(
    'after-recorded-work',
    `First test after recorded work (${work.what}${work.doneOn ? ` on ${work.doneOn}` : ''}): ${change}. A new baseline starts here${failing ? '; the value is still over its limit, so the work was not enough' : ratio !== null && ratio > 1.1 ? '; check that the work did what it should' : ''}.`,
    {
      work: work.what,
      doneOn: work.doneOn,
      ratioToBefore: ratio === null ? null : rounded(ratio),
      beforeOhm: beforeLn === null ? null : rounded(Math.exp(beforeLn)),
      stillFailing: failing,
    },
  )
  return worse || failing ? { ...finding, severity: 'warning', advice: AFTER_WORK_ADVICE } : finding
}

const AFTER_WORK_ADVICE = [
  'Ask whoever did the work what was changed, and look at the new joints.',
  'Repeat the test within 14 days on the same line with the same stake distances.',
]

/** New electrodes fall 10 to 30 % in their first two years (practice, no source): `settling-in`, when this is such a fall. */
export function settlingIn(current: Seen, expectedLn: number, electrode: Electrode): Finding | null {
  if (!electrode.installedOn) return null
  const ageYears = yearsBetween(Date.parse(electrode.installedOn) / DAY_MS, current.day)
  const fall = 1 - Math.exp(current.y - expectedLn)
  if (!(ageYears >= 0 && ageYears <= 2) || fall < 0.1 || fall > 0.35) return null
  return notice(
    'settling-in',
    `${Math.round(fall * 100)} % lower than before, ${rounded(ageYears, 2)} years after installation: new electrodes often settle by 10 to 30 %. Nothing to do.`,
    { fallPercent: rounded(fall * 100, 2), ageYears: rounded(ageYears, 2) },
  )
}

/** Beyond this a shift all share is told aloud when no season explains it: a shared conductor may be gone. */
const LOUD_SHIFT_LN = Math.log(1.5)

/**
 * `site-wide-shift`: the neighbours moved too, so season or weather explains it; it explains a drift, never a limit. Aloud, once for
 * the site (`first`), when all went up by more than half and further than this site's seasons do.
 */
export function siteWideShift(
  shiftLn: number,
  neighbours: number,
  beyondSeason: boolean,
  first: boolean,
): Finding {
  const percent = Math.round((Math.exp(shiftLn) - 1) * 100)
  const loud = first && beyondSeason && shiftLn > LOUD_SHIFT_LN
  const finding = notice(
    'site-wide-shift',
    `The ${neighbours} other electrodes of this site moved by ${percent > 0 ? '+' : ''}${percent} % together, so season or weather explains as much here${beyondSeason ? ', though it is more than a season usually does' : ''}. ${beyondSeason && shiftLn > 0 ? 'Ask whether the ground was dried out or frozen, or a shared conductor cut or taken.' : 'It does not excuse a value over the limit.'}`,
    { sharedShiftPercent: percent, neighbours, beyondSeason },
  )
  if (!loud) return finding
  return {
    ...finding,
    severity: 'warning',
    advice: [
      'Look at the conductor that ties the electrodes of this site together.',
      'Test two of them again when the ground is as usual.',
    ],
  }
}
