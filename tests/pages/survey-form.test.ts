import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { TEST_KINDS } from '../../functions/web/pages/surveys/test-kinds.ts'
import type { SurveyRecord } from '../../shared-lib/ledger/kept/survey.ts'
import { READING_FIELDS, SURVEY_FIELDS } from '../../shared-lib/survey/fields.ts'
import { fillDemo } from './demo.ts'
import { type House, openHouse } from './house.ts'
import { allIds, formValues, inlineProblems, namedIds, summaryLines, typedValue } from './markup.ts'

let house: House
beforeAll(async () => {
  house = await openHouse()
  await fillDemo(house)
}, 30_000)
afterAll(() => house.close())

let serial = 0
/** A sound short survey of R1 as a browser would send it. */
function short(change: Record<string, string> = {}): Record<string, string> {
  return {
    surveyRef: `F-TEST${++serial}`,
    test: 'short',
    shown: 'short',
    unit: 'm',
    electrodeId: 'DEMO-R1',
    testedAt: '2026-05-04T10:20',
    measuredAs: 'electrode-alone',
    currentProbeM: '30',
    'r0-ohm': '10.9',
    'r0-condition': 'ok',
    'r1-ohm': '11.0',
    'r1-condition': 'ok',
    'r2-ohm': '11.2',
    'r2-condition': 'ok',
    tester: 'B. Crew',
    action: 'hand-in',
    ...change,
  }
}

async function send(
  form: Record<string, string>,
): Promise<{ status: number; page: string; location: string }> {
  const answer = await house.post('field', '/surveys/new', form)
  return { status: answer.status, page: await answer.text(), location: answer.headers.get('Location') ?? '' }
}

async function stored(ref: string, electrodeId = 'DEMO-R1'): Promise<SurveyRecord | null> {
  return house.deps.ledger.getSurvey({ kind: 'electrode', id: electrodeId }, ref)
}

describe('the survey form', () => {
  it('has a control for every column of the contract', async () => {
    const names = new Set<string>()
    for (const test of Object.keys(TEST_KINDS)) {
      const { page } = await send({ test, shown: 'short', unit: 'm', surveyRef: 'X', action: 'show' })
      for (const name of Object.keys(formValues(page))) names.add(name)
      for (const [, name] of page.matchAll(/ name="([^"]+)"/g)) names.add(name!)
    }
    expect(Object.keys(SURVEY_FIELDS).filter((key) => !names.has(key))).toEqual([])
    const rows = {
      distance: ['potentialProbeM', 'probeSpacingM'],
      depth: ['probeDepthM'],
      ohm: ['resistanceOhm', 'atLeastOhm'],
      condition: ['condition'],
    }
    expect(Object.values(rows).flat().sort()).toEqual(Object.keys(READING_FIELDS).sort())
    for (const suffix of Object.keys(rows)) expect(names).toContain(`r0-${suffix}`)
  })

  it('is issued with a fresh reference, the electrode, and the time there', async () => {
    const first = await (await house.get('field', '/surveys/new?electrode=DEMO-R1')).text()
    const second = await (await house.get('field', '/surveys/new?electrode=DEMO-R1')).text()
    expect(typedValue(first, 'surveyRef')).toMatch(/^F-[A-Z0-9]{12}$/)
    expect(typedValue(first, 'surveyRef')).not.toBe(typedValue(second, 'surveyRef'))
    expect(typedValue(first, 'electrodeId')).toBe('DEMO-R1')
    // The clock of the house stands at 12:00 UTC; Vienna is two hours ahead in May.
    expect(typedValue(first, 'testedAt')).toBe('2026-05-04T14:00')
    expect(first).toContain('behind the pump house')
  })

  it('shows where the potential probe stands once the current probe has a distance', async () => {
    const { status, page } = await send(short({ action: 'distances', currentProbeM: '30' }))
    expect(status).toBe(200)
    for (const words of [
      '52 %: potential probe at 15.6 m',
      '62 %: potential probe at 18.6 m',
      '72 %: potential probe at 21.6 m',
    ])
      expect(page).toContain(words)
    expect(typedValue(page, 'r0-ohm')).toBe('10.9')
  })

  it('keeps what was typed when another kind of test is shown, and puts readings where they belong', async () => {
    const { page } = await send(short({ test: 'own', 'r1-ohm': '' }))
    expect(typedValue(page, 'r0-distance')).toBe('15.6')
    expect(typedValue(page, 'r0-ohm')).toBe('10.9')
    expect(typedValue(page, 'r1-distance')).toBe('21.6')
    expect(typedValue(page, 'tester')).toBe('B. Crew')
    const back = await send({ ...formValues(page), test: 'short', action: 'show' })
    expect(typedValue(back.page, 'r0-ohm')).toBe('10.9')
    expect(typedValue(back.page, 'r1-ohm')).toBe('')
    expect(typedValue(back.page, 'r2-ohm')).toBe('11.2')
  })

  it('does not hand in when the kind of test was changed and its form was not seen yet', async () => {
    const form = short({ test: 'full' })
    const { status } = await send(form)
    expect(status).toBe(200)
    expect(await stored(form.surveyRef!)).toBeNull()
  })

  it('carries fields along that a kind of test does not show, and hands them in with no other', async () => {
    const away = await send(short({ test: 'none' }))
    expect(typedValue(away.page, 'currentProbeM')).toBe('30')
    expect(typedValue(away.page, 'r1-ohm')).toBe('11.0')
    const form: Record<string, string> = { ...formValues(away.page), outcome: 'no-access', action: 'hand-in' }
    const { status } = await send(form)
    expect(status).toBe(303)
    const record = await stored(form.surveyRef!)
    expect(record?.survey.outcome).toBe('no-access')
    expect(record?.survey.readings).toEqual([])
    expect(record?.survey.currentProbeM).toBeUndefined()
  })
})

describe('handing in', () => {
  it('stores the survey in metres, ohms and the local time of the site, and shows the judgement at once', async () => {
    const form = short({ 'r0-ohm': '10,9', 'r1-ohm': '11,0 Ω', 'r2-ohm': '0,0112 kOhm' })
    const { status, location } = await send(form)
    expect(status).toBe(303)
    expect(location).toBe(`/electrodes/DEMO-R1/surveys/${form.surveyRef}?received=new`)
    const record = await stored(form.surveyRef!)
    expect(record?.survey.testedAt).toBe('2026-05-04T10:20:00+02:00')
    expect(record?.survey.readings).toEqual([
      { potentialProbeM: 15.6, resistanceOhm: 10.9, condition: 'ok' },
      { potentialProbeM: 18.6, resistanceOhm: 11, condition: 'ok' },
      { potentialProbeM: 21.6, resistanceOhm: 11.2, condition: 'ok' },
    ])
    expect(record?.receivedFrom).toEqual({ via: 'form', by: 'local:field' })
    const page = await (await house.get('field', location)).text()
    expect(page).toContain('<strong>Received.</strong>')
    expect(page).toMatch(/1\d\.\d+ ± \d+\.\d+ Ω/)
    expect(page).toContain('Valid')
    expect(page).toContain('Conforming')
  })

  it('is the same record when it is sent twice', async () => {
    const form = short()
    await send(form)
    const again = await send(form)
    expect(again.status).toBe(303)
    expect(again.location).toContain('received=before')
    expect(await (await house.get('field', again.location)).text()).toContain('Already received')
  })

  it('keeps the stored survey when the same reference comes with other content, and shows both', async () => {
    const form = short()
    await send(form)
    const { status, page } = await send({ ...form, 'r1-ohm': '12.5', tester: 'C. Other' })
    expect(status).toBe(409)
    expect(page).toContain('18.6 m: 11 Ω')
    expect(page).toContain('18.6 m: 12.5 Ω')
    expect(page).toContain('C. Other')
    expect(typedValue(page, 'corrects')).toBe(form.surveyRef)
    const corrected = await send({ ...formValues(page), action: 'hand-in' })
    expect(corrected.status).toBe(303)
    expect((await stored(form.surveyRef!))?.survey.readings[1]?.resistanceOhm).toBe(11)
  })

  it('reads distances in feet when the form says so', async () => {
    const form = short({ unit: 'ft', currentProbeM: '100' })
    await send(form)
    const survey = (await stored(form.surveyRef!))?.survey
    expect(survey?.currentProbeM).toBeCloseTo(30.48, 9)
    expect(survey?.readings[0]?.potentialProbeM).toBeCloseTo(15.8496, 4)
  })

  it('keeps the bound of a reading over range, and takes OL as a condition', async () => {
    const form = short({ 'r1-ohm': '2000', 'r1-condition': 'over-range', 'r2-ohm': 'OL' })
    await send(form)
    expect((await stored(form.surveyRef!))?.survey.readings.slice(1)).toEqual([
      { potentialProbeM: 18.6, condition: 'over-range', atLeastOhm: 2000 },
      { potentialProbeM: 21.6, condition: 'over-range' },
    ])
  })

  it('lets the condition that a person chose stand beside OL', async () => {
    const form = short({ 'r2-ohm': 'OL', 'r2-condition': 'auxiliary-h' })
    await send(form)
    expect((await stored(form.surveyRef!))?.survey.readings[2]).toEqual({
      potentialProbeM: 21.6,
      condition: 'auxiliary-h',
    })
  })

  it('shows nothing of another engineer’s survey in a conflict', async () => {
    const form = short({ electrodeId: 'DEMO-R2', tester: 'S. Ecret' })
    await send(form)
    const other = { email: 'engineer@example.org' }
    const answer = await house.post('engineer', '/surveys/new', { ...form, tester: 'X' }, other)
    expect(answer.status).toBe(409)
    expect(await answer.text()).not.toContain('S. Ecret')
  })

  it('finds the electrode by its tag', async () => {
    const form = short({ electrodeId: '100' })
    const { location } = await send(form)
    expect(location).toContain('/electrodes/DEMO-R1/surveys/')
  })

  it('judges without storing when only a check is asked for', async () => {
    const form = short({ action: 'check', 'r2-ohm': '16' })
    const { status, page } = await send(form)
    expect(status).toBe(200)
    expect(page).toContain('Checked, not handed in')
    expect(page).toContain('The readings disagree')
    expect(await stored(form.surveyRef!)).toBeNull()
  })

  it('holds a survey of an electrode nobody knows, and shows it to whoever handed it in', async () => {
    const form = short({ electrodeId: 'DEMO-R99' })
    const { status, location } = await send(form)
    expect(status).toBe(303)
    expect(await (await house.get('field', location)).text()).toContain('is not in the register')
    expect((await house.get('field', location, { id: 'local:stranger' })).status).toBe(404)
    expect((await house.get('quality', location)).status).toBe(200)
  })

  it('is refused for a site the person does not have', async () => {
    const form = short({ electrodeId: 'DEMO-S1' })
    const answer = await house.post('field', '/surveys/new', form, { sites: ['DEMO-NORTH'] })
    expect(answer.status).toBe(403)
    expect(await stored(form.surveyRef!, 'DEMO-S1')).toBeNull()
    const look = await house.post(
      'field',
      '/surveys/new',
      { ...form, action: 'show' },
      { sites: ['DEMO-NORTH'] },
    )
    expect(await look.text()).not.toContain('Ring')
  })

  it('prefills a correction from the survey it corrects', async () => {
    const form = short({ notes: 'first <go>' })
    await send(form)
    const page = await (
      await house.get('field', `/surveys/new?electrode=DEMO-R1&corrects=${form.surveyRef}`)
    ).text()
    const values = formValues(page)
    expect(values).toMatchObject({
      corrects: form.surveyRef,
      testedAt: '2026-05-04T10:20',
      'r0-distance': '15.6',
      'r0-ohm': '10.9',
      notes: 'first <go>',
    })
    expect(values.surveyRef).not.toBe(form.surveyRef)
    const { status } = await send({ ...values, 'r0-ohm': '10.8', action: 'hand-in' })
    expect(status).toBe(303)
    expect((await stored(values.surveyRef!))?.survey.corrects).toBe(form.surveyRef)
  })
})

describe('the earth link', () => {
  it('shows over the whole screen what to do and whom to phone when it was left open, and asks for no tick first', async () => {
    const form = short({ linkOpenedAt: '2026-05-04T10:00', linkChecked: 'still-open' })
    const { status, location } = await send(form)
    expect(status).toBe(303)
    const page = await (await house.get('field', location)).text()
    expect(page).toContain('<section class="alarm"')
    expect(page).toContain('href="tel:+005550100"')
    expect(page.indexOf('class="alarm"')).toBeLessThan(page.indexOf('<h1'))
  })

  it('asks how an opened link was left, and for both ticks', async () => {
    const asked = await send(short({ linkOpenedAt: '2026-05-04T10:00' }))
    expect(asked.status).toBe(422)
    expect(summaryLines(asked.page).map((l) => l.fieldId)).toEqual(['before', 'linkChecked', 'after'])
    const closed = {
      linkOpenedAt: '2026-05-04T10:00',
      linkChecked: 'tight',
      linkClosedAt: '2026-05-04T11:00',
    }
    expect((await send(short({ ...closed, before: 'yes' }))).status).toBe(422)
    expect((await send(short({ ...closed, before: 'yes', after: 'yes' }))).status).toBe(303)
  })

  it('is no matter where nothing was opened', async () => {
    expect((await send(short({ linkChecked: 'not-opened' }))).status).toBe(303)
  })
})

describe('a form with something to mend', () => {
  it('says so first, leads to each control, keeps every value, and says the same beside it', async () => {
    const form = short({
      'r0-ohm': '1,200',
      'r1-ohm': 'abc',
      currentProbeM: '-3',
      testedAt: '',
      notes: '"quoted" <b>',
    })
    const { status, page } = await send(form)
    expect(status).toBe(422)
    expect(page).toMatch(/<title>Something to mend: /)
    const lines = summaryLines(page)
    expect(lines.map((l) => l.fieldId).sort()).toEqual(['currentProbeM', 'r0-ohm', 'r1-ohm', 'testedAt'])
    expect(lines.find((l) => l.fieldId === 'r0-ohm')?.message).toContain('fraction or a thousand')
    expect(page.indexOf('class="mend"')).toBeLessThan(page.indexOf('<h1'))
    const ids = allIds(page)
    const places = lines.map((l) => ids.indexOf(l.fieldId))
    expect(places).toEqual([...places].sort((a, b) => a - b))
    expect(lines.filter((l) => !ids.includes(l.fieldId))).toEqual([])
    expect(namedIds(page).filter((id) => !ids.includes(id))).toEqual([])
    expect(inlineProblems(page)).toEqual(new Map(lines.map((l) => [l.fieldId, l.message])))
    const kept = formValues(page)
    for (const [name, value] of Object.entries(form))
      if (name !== 'action') expect([name, kept[name]]).toEqual([name, value])
    expect(await stored(form.surveyRef!)).toBeNull()
  })

  it.each([
    ['no reading', { 'r0-ohm': '', 'r1-ohm': '', 'r2-ohm': '' }, 'r0-ohm'],
    ['no current probe distance', { currentProbeM: '' }, 'currentProbeM'],
    ['no electrode', { electrodeId: ' ' }, 'electrodeId'],
    ['a day the calendar does not have', { testedAt: '2026-02-30T10:00' }, 'testedAt'],
    ['no reason for a test that was not made', { test: 'none', shown: 'none' }, 'outcome'],
    ['megohm', { 'r0-ohm': '3 MΩ' }, 'r0-ohm'],
    ['a reference without letters', { surveyRef: '' }, 'surveyRef'],
  ])('refuses %s at its own control', async (_, change, fieldId) => {
    const { status, page } = await send(short(change as Record<string, string>))
    expect(status).toBe(422)
    expect(summaryLines(page).map((l) => l.fieldId)).toEqual([fieldId])
    expect(allIds(page)).toContain(fieldId)
  })

  it('has ids that occur once for every kind of test', async () => {
    for (const test of Object.keys(TEST_KINDS)) {
      const { page } = await send({ test, shown: test, unit: 'm', surveyRef: '', action: 'hand-in' })
      const ids = allIds(page)
      expect(ids.filter((id, i) => ids.indexOf(id) !== i)).toEqual([])
      expect(namedIds(page).filter((id) => !ids.includes(id))).toEqual([])
      expect(summaryLines(page).filter((l) => !ids.includes(l.fieldId))).toEqual([])
    }
  })
})
