import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { copyOf } from '../../functions/web/client/phone/copy-of.ts'
import {
  answered,
  beginSend,
  editRecord,
  type FieldRecord,
  finishRecord,
  isOld,
  newRef,
  startRecord,
  toSend,
  waitAfter,
} from '../../functions/web/client/phone/field-record.ts'
import { readAnswer } from '../../functions/web/client/phone/read-answer.ts'
import { blankForm, type FormState } from '../../functions/web/pages/surveys/form-state.ts'
import { readForm } from '../../functions/web/pages/surveys/read-form.ts'
import { understandForm } from '../../functions/web/pages/surveys/understand-form.ts'
import { contentHash } from '../../shared-lib/survey/content-id.ts'
import { readSurveysFromText } from '../../shared-lib/survey/read-surveys.ts'

const OWNER = { id: 'p1', name: 'B. Crew' }
const NOW = Date.parse('2026-05-04T12:00:00Z')
const SENT = { id: 'abc', surveyRef: 'F-1' }

const form = (ohms = ['10,9', '11', '11.2']): FormState => ({
  ...blankForm('F-1', {
    electrodeId: 'DEMO-R1',
    testedAt: '2026-05-04T10:20',
    currentProbeM: '30',
    notes: '=1+1, "quoted"; and a line',
  }),
  rows: ohms.map((ohm) => ({ distance: '', depth: '', ohm, condition: 'ok' })),
})

function waiting(): FieldRecord {
  const { survey } = understandForm(form(), 'Europe/Vienna')
  return finishRecord(startRecord(OWNER, form(), 'Europe/Vienna', NOW), survey, NOW)
}

const json = (status: number, body: unknown, contentType = 'application/json') => ({
  status,
  contentType,
  body: JSON.stringify(body),
})
const receipt = { id: 'abc', surveyRef: 'F-1', contentHash: 'x', receivedAt: '2026-05-04T12:00:00Z' }
const refusal = (status: number, name: string) =>
  json(status, { type: `/problems/${name}`, title: 't', detail: 'what to do' }, 'application/problem+json')

describe('an answer', () => {
  it.each([200, 201, 202])('%i with a receipt of this very survey means received', (status) => {
    const answer = readAnswer(json(status, { surveyRef: 'F-1', electrodeId: 'R 1', receipt }), SENT)
    expect(answer).toMatchObject({
      kind: 'received',
      receipt: { id: 'abc', address: '/electrodes/R%201/surveys/F-1' },
    })
  })

  it.each([
    ['nothing at all', null],
    ['a page of the network', { status: 200, contentType: 'text/html', body: '<h1>Welcome</h1>' }],
    ['an empty 204', { status: 204, contentType: '', body: '' }],
    ['JSON of somebody else', json(200, { ok: true })],
    ['a receipt of another survey', json(201, { receipt: { ...receipt, surveyRef: 'F-2' } })],
    ['a receipt with another id', json(201, { receipt: { ...receipt, id: 'other' } })],
    ['broken JSON', { status: 201, contentType: 'application/json', body: '{"receipt":' }],
    ['a refusal not in our words', json(403, { error: 'blocked by policy' })],
    ['our own service being busy', refusal(503, 'busy')],
  ])('%s keeps the survey and tries again', (_, raw) => {
    expect(readAnswer(raw, SENT).kind).toBe('later')
  })

  it('never takes anything for a receipt but one that names the survey (property)', () => {
    fc.assert(
      fc.property(fc.integer({ min: 100, max: 599 }), fc.json(), (status, body) => {
        const answer = readAnswer({ status, contentType: 'application/json', body }, SENT)
        expect(answer.kind).not.toBe('received')
      }),
    )
  })

  it('in our own words refuses, and the words are kept', () => {
    expect(readAnswer(refusal(422, 'not-as-described'), SENT)).toEqual({
      kind: 'refused',
      words: 'what to do',
      mayBeThere: false,
    })
    expect(readAnswer(refusal(401, 'not-signed-in'), SENT).kind).toBe('signed-out')
    expect(readAnswer(refusal(403, 'other-person'), SENT).kind).toBe('signed-out')
  })
})

describe('a survey on the phone', () => {
  it('waits longer after each failed try, up to five minutes', () => {
    expect([1, 2, 3, 20].map(waitAfter)).toEqual([4000, 8000, 16_000, 300_000])
    const before = waiting()
    const after = answered(before, beginSend(before), { kind: 'later', words: 'no' }, NOW)
    expect(after).toMatchObject({ state: 'waiting', nextTryAtMs: NOW + 4000, said: { words: 'no' } })
    expect(toSend([after], OWNER.id, NOW)).toEqual([])
    expect(toSend([after], OWNER.id)).toHaveLength(1)
    expect(toSend([after], 'somebody-else')).toEqual([])
  })

  it('that died while being sent is sent again', () => {
    expect(toSend([beginSend(waiting())], OWNER.id, NOW)).toHaveLength(1)
  })

  it('is a draft again when edited before its first byte left, and a new survey afterwards', () => {
    const never = editRecord(waiting(), 'F-NEW', NOW)
    expect(never).toMatchObject({ ref: 'F-1', state: 'draft' })
    const sent = answered(waiting(), beginSend(waiting()), { kind: 'later', words: 'no' }, NOW)
    const edited = editRecord(sent, 'F-NEW', NOW)
    expect(edited).toMatchObject({ ref: 'F-NEW', state: 'draft', attempts: 0, mayBeThere: false })
    expect(edited.form.values).toMatchObject({ surveyRef: 'F-NEW', corrects: 'F-1' })
    expect(edited.survey).toBeUndefined()
  })

  it('that was refused for what it says, and never got through before, keeps its reference when mended', () => {
    const before = waiting()
    const refused = answered(
      before,
      beginSend(before),
      { kind: 'refused', words: 'no', mayBeThere: false },
      NOW,
    )
    expect(editRecord(refused, 'F-NEW', NOW).ref).toBe('F-1')
    const lost = answered(before, beginSend(before), { kind: 'later', words: 'no' }, NOW)
    const thenRefused = answered(
      lost,
      beginSend(lost),
      { kind: 'refused', words: 'no', mayBeThere: false },
      NOW,
    )
    expect(editRecord(thenRefused, 'F-NEW', NOW).ref).toBe('F-NEW')
  })

  it('stays thirty days after its receipt, and for ever without one', () => {
    const days = 86_400_000
    const received = answered(
      waiting(),
      beginSend(waiting()),
      { kind: 'received', receipt: { id: 'a', receivedAt: 'r', held: false, address: null } },
      NOW,
    )
    expect(isOld(received, NOW + 29 * days)).toBe(false)
    expect(isOld(received, NOW + 31 * days)).toBe(true)
    expect(isOld(waiting(), NOW + 400 * days)).toBe(false)
  })

  it('has a reference that can be read out: no letter that looks like a digit', () => {
    for (let i = 0; i < 50; i++) expect(newRef()).toMatch(/^F-[A-HJ-NP-Z2-9]{12}$/)
  })
})

describe('a saved copy', () => {
  it('is a file that the upload reads as the same survey', () => {
    const record = waiting()
    const copy = copyOf(record)
    expect(copy.name).toBe('F-1.csv')
    const { entries } = readSurveysFromText(copy.text)
    expect(entries.map((entry) => (entry.kind === 'survey' ? contentHash(entry.survey) : entry))).toEqual([
      contentHash(record.survey!),
    ])
  })

  it('of a survey that cannot be read yet holds everything typed', () => {
    const draft = startRecord(OWNER, form(['1,200', '11', '']), 'UTC', NOW)
    const copy = copyOf(draft)
    expect(copy.name).toBe('F-1-not-finished.txt')
    for (const words of ['DEMO-R1', '1,200', '=1+1']) expect(copy.text).toContain(words)
  })
})

describe('the phone and the service', () => {
  const typed = fc.constantFrom('', '11', '10,9', '1,200', 'OL', '>2000', 'x', '-3', '0')
  it('understand a form alike: what the phone lets through the service reads to the same content (property)', () => {
    fc.assert(
      fc.property(
        fc.array(typed, { minLength: 3, maxLength: 3 }),
        fc.constantFrom('30', '30,5', '', 'far'),
        fc.constantFrom('m', 'ft'),
        fc.constantFrom('short', 'own', 'single', 'none'),
        (ohms, far, unit, test) => {
          const base = form(ohms)
          const state = {
            ...base,
            test,
            unit,
            values: { ...base.values, currentProbeM: far, outcome: 'no-access' },
          } as FormState
          const here = understandForm(state, 'Europe/Vienna')
          const there = readForm(state, 'Europe/Vienna')
          expect(there.ok).toBe(here.problems.length === 0)
          if (there.ok) expect(contentHash(here.survey)).toBe(contentHash(there.survey))
          else expect(there.problems).toEqual(here.problems)
        },
      ),
    )
  })
})
