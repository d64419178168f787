import type { Survey } from '../survey/survey.ts'
import type { EvaluationContext } from './evaluation.ts'
import type { Verdict } from './verdict.ts'

const DAY_MS = 86_400_000

/** Dates that contradict each other. Needs no clock: only the survey, the register and the hand-in speak. */
export function judgeDates(survey: Survey, context: EvaluationContext, verdict: Verdict): void {
  const testedMs = Date.parse(survey.testedAt)
  const installedMs = parse(context.electrode.installedOn)
  const openedMs = parse(survey.linkOpenedAt)
  const closedMs = parse(survey.linkClosedAt)
  if (Number.isNaN(testedMs)) {
    report(verdict, `The test date ${survey.testedAt} cannot be read.`, { testedAt: survey.testedAt })
    return
  }
  // A day of slack: a date without a time and a zone at the other end of the world may differ by that.
  if (installedMs !== null && testedMs < installedMs - DAY_MS)
    report(
      verdict,
      `The test is dated ${survey.testedAt.slice(0, 10)}, before the electrode was installed (${context.electrode.installedOn}).`,
      { testedAt: survey.testedAt, installedOn: context.electrode.installedOn },
    )
  if (context.handedInAt !== undefined)
    report(
      verdict,
      `The test is dated ${survey.testedAt.slice(0, 10)}, after the day it was handed in (${context.handedInAt.slice(0, 10)}).`,
      { testedAt: survey.testedAt, handedInAt: context.handedInAt },
    )
  if (openedMs !== null && closedMs !== null && closedMs < openedMs)
    report(verdict, `The link is recorded as closed (${survey.linkClosedAt}) before it was opened.`, {
      linkOpenedAt: survey.linkOpenedAt,
      linkClosedAt: survey.linkClosedAt,
    })
  if (openedMs !== null && openedMs > testedMs + DAY_MS)
    report(
      verdict,
      `The link is recorded as opened (${survey.linkOpenedAt}) more than a day after the test.`,
      {
        linkOpenedAt: survey.linkOpenedAt,
        testedAt: survey.testedAt,
      },
    )
}

function report(verdict: Verdict, seen: string, evidence: Record<string, unknown>): void {
  verdict.find({
    code: 'impossible-date',
    severity: 'warning',
    probability: 0.95,
    message: `${seen} Look up the field sheet and hand in a correction with the right date.`,
    advice: ['Compare with the field sheet.', 'Hand in a correction that names this survey.'],
    evidence,
  })
  verdict.notForTrend('A date cannot be right, so the value has no sure place among the other tests.')
}

function parse(text: string | undefined): number | null {
  const value = text === undefined ? Number.NaN : Date.parse(text)
  return Number.isNaN(value) ? null : value
}
