import { describe, expect, it } from 'vitest'
import type { Decision, PriorTest } from '../../shared-lib/history/assessment.ts'
import type { FindingCode } from '../../shared-lib/survey/finding.ts'
import { assessOne, inputOf, neighbours, testOf, yearly } from './examples.ts'

const decide = (test: PriorTest, code: FindingCode, action: Decision['action']): Decision => ({
  decisionId: `D-${test.surveyRef}-${action}`,
  findingId: `F-${test.surveyRef}-${code}`,
  surveyRef: test.surveyRef,
  code,
  action,
  reason: 'looked at it',
  decidedBy: 'quality@example.org',
  decidedAtMs: 1,
})
/** Four neighbours that stay where they are. */
const still = (tests: PriorTest[]) =>
  neighbours(
    tests,
    tests.map(() => 1),
    4,
  )
const codes = (tests: PriorTest[], decisions: Decision[], at: PriorTest) =>
  (assessOne(inputOf(tests, { decisions, peers: still(tests) })).findings[at.surveyRef] ?? [])
    .filter((f) => f.severity !== 'notice')
    .map((f) => f.code)

describe('a decision as evidence', () => {
  const sound = yearly(2010, [11, 11.23, 10.87, 11.14, 11.03, 11.09])
  const risen = testOf('2016-05-03', 24)
  const back = testOf('2017-05-03', 11.31)
  const stays = testOf('2017-05-03', 24.3)

  it('that a risen value stands makes it the new level: coming back down is then what needs a reason', () => {
    expect(codes([...sound, risen, back], [], back)).toEqual([])
    const accepted = [decide(risen, 'step-rise', 'accept')]
    expect(codes([...sound, risen, back], accepted, back)).not.toEqual([])
  })

  it('that a rise is true is believed at once, so the next such value is no news', () => {
    expect(codes([...sound, risen, stays], [], stays)).toContain('step-rise')
    expect(codes([...sound, risen, stays], [decide(risen, 'step-rise', 'confirm')], stays)).toEqual([])
  })

  it('that a slip was the true value keeps it', () => {
    const tenfold = testOf('2016-05-03', 110)
    const again = testOf('2017-05-03', 109)
    const accepted = [decide(tenfold, 'decimal-slip', 'accept')]
    expect(codes([...sound, tenfold, again], accepted, again)).toEqual([])
  })

  it('that corrosion is confirmed ends the alarms about it until work is recorded', () => {
    const rising = yearly(2012, [10, 10.7, 11.3, 12.1, 12.8, 13.7, 14.6, 15.8, 17.2, 18.8, 20.6])
    const told = (decisions: Decision[]) =>
      rising.filter((t) =>
        codes(rising, decisions, t).some((c) => c === 'rising-drift' || c === 'corrosion-suspected'),
      )
    const first = told([])[0]!
    const confirmed = told([decide(first, 'corrosion-suspected', 'confirm')])
    expect(confirmed.map((t) => t.surveyRef)).toEqual([first.surveyRef])
  })

  it('never changes what was said of the survey itself, and is undone by reopening', () => {
    const tests = [...sound, risen, stays]
    const accepted = decide(risen, 'step-rise', 'accept')
    expect(codes(tests, [accepted], risen)).toEqual(codes(tests, [], risen))
    const reopened: Decision = { ...accepted, decisionId: 'D-2', action: 'reopen', decidedAtMs: 2 }
    expect(codes(tests, [accepted, reopened], stays)).toEqual(codes(tests, [], stays))
  })

  it('counts the same in whatever order decisions are given', () => {
    const tests = [...sound, risen, stays]
    const two = [decide(risen, 'step-rise', 'accept'), decide(sound[2]!, 'step-rise', 'set-aside')]
    const judged = (decisions: Decision[]) => assessOne(inputOf(tests, { decisions }))
    expect(judged(two)).toEqual(judged([...two].reverse()))
  })
})
