import { describe, expect, it } from 'vitest'
import type { Decision, PriorTest } from '../../shared-lib/history/assessment.ts'
import { defaultParameters } from '../../shared-lib/history/parameters.ts'
import { judgeSite } from '../../shared-lib/ledger/judge-site.ts'
import { type AskingFinding, retestRequestOf } from '../../shared-lib/ledger/retest-request.ts'
import { emptyHistory, historyOf, historyText, withTests } from '../../shared-lib/ledger/site-history.ts'
import { ROD, testOf, yearly } from '../history/examples.ts'

const step: AskingFinding = { surveyRef: 'T-2026-05-04', code: 'step-rise', confirms: false }
const stepped = testOf('2026-05-04', 22)
const decided = (over: Partial<Decision>): Decision => ({
  ...{
    decisionId: 'd',
    findingId: 'f',
    surveyRef: step.surveyRef,
    code: 'rising-drift',
    reason: 'look again',
  },
  ...{ decidedBy: 'local:engineer', decidedAtMs: Date.parse('2026-06-01T08:00:00Z'), action: 'retest' },
  ...over,
})

describe('a retest', () => {
  it('is asked for by a step at once: within 14 days, and after 30 the step stands', () => {
    expect(retestRequestOf([step], [stepped], [])).toEqual({
      ...{ reason: 'step-rise', surveyRef: 'T-2026-05-04', askedBy: 'step' },
      ...{ askedOn: '2026-05-04', dueOn: '2026-05-18', standsFrom: '2026-06-03' },
    })
  })

  it('is not asked for by other findings, nor by the test that confirms a step', () => {
    expect(retestRequestOf([{ ...step, code: 'rising-drift' }], [stepped], [])).toBeNull()
    expect(retestRequestOf([{ ...step, confirms: true }], [stepped], [])).toBeNull()
  })

  it.each<[string, Partial<PriorTest>, boolean]>([
    ['a usable test', {}, true],
    ['a test on another line', { lineDirection: 'north' }, true],
    ['a visit that could not test', { outcome: 'no-access', resistanceOhm: null }, false],
    ['a test without a value', { resistanceOhm: null }, false],
    ['a test that is not valid', { validity: 'invalid' }, false],
  ])('asked: %s later answers it or not', (_, over, answers) => {
    const later = testOf('2026-05-10', 21, over)
    expect(retestRequestOf([step], [stepped, later], []) === null).toBe(answers)
  })

  it('is not answered by a test from before the step that was handed in later', () => {
    expect(retestRequestOf([step], [testOf('2026-04-01', 11), stepped], [])).not.toBeNull()
  })

  it('can be asked for by a decision, and then only a test made after that answers', () => {
    const drift: AskingFinding = { ...step, code: 'rising-drift' }
    const between = testOf('2026-05-20', 21)
    const request = retestRequestOf([drift], [stepped, between], [decided({})])
    expect(request).toMatchObject({ askedBy: 'decision', askedOn: '2026-06-01', dueOn: '2026-06-15' })
    const after = testOf('2026-06-05', 21)
    expect(retestRequestOf([drift], [stepped, between, after], [decided({})])).toBeNull()
    const undone = decided({ decisionId: 'e', action: 'reopen', decidedAtMs: decided({}).decidedAtMs + 1 })
    expect(retestRequestOf([drift], [stepped], [decided({}), undone])).toBeNull()
  })

  it('is the one due first where several are asked for', () => {
    const second = { ...step, surveyRef: 'T-2026-05-05', code: 'step-fall' as const }
    const invalid = testOf('2026-05-05', 3, { validity: 'invalid' })
    expect(retestRequestOf([second, step], [stepped, invalid], [])?.surveyRef).toBe('T-2026-05-04')
  })
})

describe('the judgement of a site', () => {
  const quiet = yearly(2015, [10, 10.3, 9.9, 10.1, 10.2, 9.8, 10, 10.1])
  const rise = testOf('2023-05-09', 24)
  const known = (test: PriorTest) => ({ test, own: [] })
  const electrode = { ...ROD, retestMonths: 12 }

  /** Judged after each arrival, kept as text in between, as the table keeps it. */
  function afterArrivals(tests: readonly PriorTest[]) {
    let history = emptyHistory(electrode)
    for (const test of tests) {
      const grown = { ...history, tests: withTests(history.tests, [known(test)]) }
      history = historyOf(historyText(judgeSite([grown], [], defaultParameters)[0]!.next))
    }
    return history
  }

  it('brings the due day forward for a step, and back when the retest has been made', () => {
    const asked = afterArrivals([...quiet, rise])
    expect(asked.retest).toMatchObject({ reason: 'step-rise', surveyRef: rise.surveyRef })
    expect(asked.dueOn).toBe('2023-05-23')
    const answered = afterArrivals([...quiet, rise, testOf('2023-05-20', 23.5)])
    expect(answered.retest).toBeUndefined()
    expect(answered.dueOn).toBe('2024-05-20')
  })

  it('asks and answers alike in any order of arrival', () => {
    const answer = testOf('2023-05-20', 10.1)
    for (const all of [
      [...quiet, rise],
      [...quiet, rise, answer],
    ]) {
      const orders = [
        all,
        all.toReversed(),
        [...all.slice(5), ...all.slice(0, 5)],
        [...all.slice(3).toReversed(), ...all.slice(0, 3)],
      ]
      const ends = orders.map((order) => afterArrivals(order)).map(({ retest, dueOn }) => ({ retest, dueOn }))
      for (const end of ends) expect(end).toEqual(ends[0])
    }
  })
})
