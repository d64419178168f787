import * as fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { DECISION_ACTIONS } from '../../shared-lib/history/assessment.ts'
import { electrodeOfFinding, findingId } from '../../shared-lib/ledger/finding-id.ts'
import { rulingDecision, stateAfter } from '../../shared-lib/ledger/finding-state.ts'
import { utcInstant } from '../../shared-lib/ledger/instant.ts'
import { part } from '../../shared-lib/ledger/keys.ts'
import { decision, finding } from './examples.ts'

const text = fc.string({ unit: 'grapheme', minLength: 1, maxLength: 40 }).filter((s) => s.isWellFormed())

describe('the id of a finding', () => {
  it('names its electrode, whatever the electrode is called', () => {
    fc.assert(
      fc.property(text, text, (electrodeId, surveyRef) => {
        const id = findingId(electrodeId, surveyRef, 'step-rise')
        expect(electrodeOfFinding(id)).toBe(electrodeId)
        expect(id).toBe(encodeURIComponent(id))
      }),
    )
  })

  it.each(['', '.', 'RS03', '.x.y', 'RS03.', 'RS 03.a.b', 'RS03=.a.b', 'RS1.a.b', '../..', 'a#b.c.d'])(
    'that is rubbish (%j) names none',
    (id) => expect(electrodeOfFinding(id)).toBeNull(),
  )

  it('names none when it is anything else', () => {
    fc.assert(
      fc.property(fc.string(), (id) => {
        const electrodeId = electrodeOfFinding(id)
        if (electrodeId !== null)
          expect(id.startsWith(Buffer.from(electrodeId).toString('base64url'))).toBe(true)
      }),
    )
  })
})

describe('the state after decisions', () => {
  const about = finding('E', '1')
  it('is open when there are none', () => expect(stateAfter([])).toBe('open'))

  it.each([
    ['accept', 'closed'],
    ['set-aside', 'closed'],
    ['confirm', 'closed'],
    ['repaired', 'closed'],
    ['retest', 'open'],
    ['reopen', 'open'],
  ] as const)('after %s is %s', (action, state) =>
    expect(stateAfter([decision(about, action, 1)])).toBe(state),
  )

  it('is that of the newest, in whatever order they are given', () => {
    const some = fc.array(fc.tuple(fc.constantFrom(...DECISION_ACTIONS), fc.nat(1e13)), { minLength: 1 })
    fc.assert(
      fc.property(some, (list) => {
        const decisions = list.map(([action, atMs]) => decision(about, action, atMs))
        const newest = decisions.reduce((a, b) =>
          b.decidedAtMs > a.decidedAtMs || (b.decidedAtMs === a.decidedAtMs && b.decisionId > a.decisionId)
            ? b
            : a,
        )
        expect(rulingDecision(decisions)?.decisionId).toBe(newest.decisionId)
        expect(stateAfter(decisions.toReversed())).toBe(stateAfter(decisions))
      }),
    )
  })
})

describe('keys', () => {
  it('keep different ids apart and never contain the separator', () => {
    fc.assert(
      fc.property(text, text, (a, b) => {
        expect(part(a)).not.toContain('#')
        expect(part(a) === part(b)).toBe(a === b)
      }),
    )
  })

  it('put instants with any offset in order of time', () => {
    expect(utcInstant('2026-03-02T00:30:00+02:00')).toBe('2026-03-01T22:30:00.000Z')
    expect(utcInstant('2026-03-01')).toBe('2026-03-01T00:00:00.000Z')
    expect(utcInstant('')).toBe('')
    expect(utcInstant('no date')).toBe('no date')
  })
})
