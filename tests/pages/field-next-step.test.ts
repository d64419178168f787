import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { surveyFormPage } from '../../functions/web/pages/surveys/form-page.ts'
import { blankForm, type FormState } from '../../functions/web/pages/surveys/form-state.ts'
import { nextStep } from '../../functions/web/pages/surveys/next-step.ts'
import { TEST_KINDS, type TestKindName } from '../../functions/web/pages/surveys/test-kinds.ts'
import { understandForm } from '../../functions/web/pages/surveys/understand-form.ts'
import { evaluateSurvey } from '../../shared-lib/evaluate/evaluate-survey.ts'
import type { Electrode } from '../../shared-lib/survey/register.ts'

const ROD: Electrode = {
  electrodeId: 'R1',
  siteId: 'S',
  kind: 'rod',
  lengthM: 3,
  diameterMm: 16,
  limitOhm: 25,
}

const row = (ohm: string, condition = 'ok', distance = '') => ({ distance, depth: '', ohm, condition })
const form = (change: Partial<FormState> & { values?: FormState['values'] } = {}): FormState => ({
  ...blankForm('F-1'),
  ...change,
  values: { surveyRef: 'F-1', electrodeId: 'R1', testedAt: '2026-05-04T10:20', ...change.values },
})

function stepOf(state: FormState, electrode: Electrode | null = ROD) {
  const understood = understandForm(state, 'UTC')
  const { survey } = understood
  const judged =
    survey.testedAt === undefined || survey.readings.length === 0
      ? null
      : evaluateSurvey(survey, { electrode: electrode ?? ROD, limits: [] })
  return nextStep({ state, understood, electrode, judged })
}

const GOOD = [row('10.9'), row('11'), row('11.2')]
const values = { currentProbeM: '30', measuredAs: 'electrode-alone', linkChecked: 'not-opened' }

describe('the next step', () => {
  it('asks for the electrode first', () => {
    expect(stepOf(form({ values: { electrodeId: '' } }))).toMatchObject({
      fieldId: 'electrodeId',
      look: 'do',
    })
  })

  it('says how far the current probe goes: as usual here, else 8 times the electrode’s size', () => {
    expect(stepOf(form(), { ...ROD, usualCurrentProbeM: 40 }).words).toContain('40 m')
    // Eight times 3 m driven depth: the judge's own advice.
    expect(stepOf(form()).words).toContain('24 m')
    expect(stepOf(form(), null).words).toContain('8 times')
  })

  it('leads from stake to stake by its distance, in the unit of the form', () => {
    const one = form({ rows: [row('10.9'), row(''), row('')], values: { currentProbeM: '30' } })
    expect(stepOf(one)).toMatchObject({
      fieldId: 'r1-ohm',
      words: 'Potential probe to 18.6 m (62 %), then read.',
    })
    expect(stepOf({ ...one, unit: 'ft', values: { ...one.values, currentProbeM: '100' } }).words).toContain(
      '62 ft',
    )
  })

  it('tells a number that can be read two ways at once', () => {
    const state = form({ rows: [row('1,200'), row(''), row('')], values: { currentProbeM: '30' } })
    expect(stepOf(state)).toMatchObject({ fieldId: 'r0-ohm', look: 'mend' })
  })

  it('says what mends a stake that does not carry', () => {
    const state = form({ rows: [row('', 'auxiliary-h'), row(''), row('')], values: { currentProbeM: '30' } })
    expect(stepOf(state)).toMatchObject({ words: 'Check lead and clamp of that stake.', look: 'mend' })
  })

  it('takes one reading over range for a lead that is off, and a whole line of them for what it is', () => {
    const over = (n: number) => form({ rows: Array.from({ length: n }, () => row('OL')), values })
    expect(stepOf(over(1)).words).toMatch(/^Over range: look at the leads/)
    expect(stepOf(over(2))).toMatchObject({ fieldId: 'r2-ohm', look: 'mend' })
    // Then the judge's own first advice for an earth that may be broken.
    expect(stepOf(over(3)).words).toContain('Keep clear of the installation')
  })

  it('asks what was connected, then how the link was left, and then lets hand in', () => {
    const base = { rows: GOOD }
    expect(stepOf(form({ ...base, values: { currentProbeM: '30' } })).fieldId).toBe('measuredAs')
    expect(
      stepOf(form({ ...base, values: { currentProbeM: '30', measuredAs: 'electrode-alone' } })).fieldId,
    ).toBe('linkChecked')
    const done = stepOf(form({ ...base, values }))
    expect(done).toMatchObject({ fieldId: null, look: 'good' })
    expect(done.words).toMatch(/^It stands: 11.* Ω\. Hand in\.$/)
  })

  it('says what would clear a doubt while the stakes are still in, and lets hand in as it is', () => {
    const ring: Electrode = { ...ROD, kind: 'ring', diagonalM: 12 }
    const step = stepOf(form({ values, rows: GOOD }), ring)
    expect(step).toMatchObject({ look: 'mend', fieldId: null })
    expect(step.words).toMatch(/^Doubtful: .*Move the current probe to 96 m\. Or hand it in as it is\.$/)
  })

  it('asks nobody who never reached the electrode how the link was left', () => {
    const visitOf = (outcome: string) => stepOf(form({ test: 'none', values: { outcome } }))
    expect(visitOf('no-access')).toMatchObject({ words: 'Hand in.', fieldId: null })
    expect(visitOf('not-found')).toMatchObject({ words: 'Hand in.', fieldId: null })
    expect(visitOf('link-seized')).toMatchObject({ fieldId: 'linkChecked' })
  })

  it('does not let an opened link be forgotten', () => {
    const opened = { ...values, linkChecked: '', linkOpenedAt: '2026-05-04T10:00' }
    expect(stepOf(form({ rows: GOOD, values: opened }))).toMatchObject({ fieldId: 'before', look: 'mend' })
    expect(stepOf(form({ rows: GOOD, before: true, values: opened })).fieldId).toBe('linkChecked')
    const closed = { ...opened, linkChecked: 'tight' }
    expect(stepOf(form({ rows: GOOD, before: true, values: closed })).fieldId).toBe('linkClosedAt')
  })

  it('sends an open link on at once, and a survey that does not stand as it is', () => {
    const open = stepOf(form({ rows: GOOD, values: { ...values, linkChecked: 'still-open' } }))
    expect(open).toMatchObject({ fieldId: null, look: 'mend' })
    expect(open.words).toContain('phone the person in control now')
    const bad = stepOf(form({ rows: [row('10.9'), row('19'), row('4')], values }))
    expect(bad).toMatchObject({ fieldId: null, look: 'mend' })
    expect(bad.words).toMatch(/^It does not stand yet\..*as it is\.$/)
  })

  it('always has words, and names a control that stands on the page (property)', () => {
    const text = (...some: string[]) => fc.constantFrom('', ...some)
    const rowArb = fc.record({
      distance: text('10', 'x'),
      depth: fc.constant(''),
      ohm: text('11', '1,200', 'OL', 'x'),
      condition: fc.constantFrom('', 'ok', 'over-range', 'auxiliary-s', 'interference'),
    })
    const stateArb = fc.record({
      test: fc.constantFrom(...(Object.keys(TEST_KINDS) as TestKindName[])),
      unit: fc.constantFrom('m', 'ft'),
      rows: fc.array(rowArb, { maxLength: 9 }),
      before: fc.boolean(),
      after: fc.boolean(),
      values: fc.record({
        surveyRef: fc.constant('F-1'),
        electrodeId: text('R1'),
        siteId: text('S'),
        instrumentId: text('I1'),
        testedAt: text('2026-05-04T10:20'),
        currentProbeM: text('30', 'far'),
        measuredAs: text('connected'),
        linkChecked: text('tight', 'still-open', 'not-opened'),
        linkOpenedAt: text('2026-05-04T10:00'),
        outcome: text('no-access'),
        knownOhm: text('10'),
      }),
    })
    fc.assert(
      fc.property(stateArb, (drawn) => {
        const state = drawn as FormState
        const step = stepOf(state)
        expect(step.words.trim()).not.toBe('')
        if (step.fieldId === null) return
        const page = String(surveyFormPage({ state, problems: [], electrode: ROD, timeZone: 'UTC' }))
        expect(page).toContain(` id="${step.fieldId}"`)
      }),
      { numRuns: 300 },
    )
  })
})
