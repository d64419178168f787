import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { fillDemo, shortSurvey } from './demo.ts'
import { type House, openHouse } from './house.ts'
import { allIds, inlineProblems, namedIds, summaryLines } from './markup.ts'

let house: House
beforeAll(async () => {
  house = await openHouse()
  await fillDemo(house)
  await house.deps.desk.handIn(
    {
      surveyRef: 'SOIL-1',
      siteId: 'DEMO-NORTH',
      testedAt: '2026-05-01T10:00:00Z',
      method: 'four-point',
      outcome: 'tested',
      measuredAs: 'not-known',
      readings: [1, 2, 4].map((probeSpacingM) => ({
        probeSpacingM,
        resistanceOhm: 100 / (2 * Math.PI * probeSpacingM),
        condition: 'ok' as const,
      })),
    },
    { via: 'form', by: 'local:field' },
  )
}, 30_000)
afterAll(() => house.close())

const pageOf = async (path: string) => {
  const answer = await house.get('quality', path)
  return { status: answer.status, text: await answer.text() }
}

describe('the page of a plan', () => {
  it('is led to from the electrode’s page, and shows stakes, doubt, soil and cautions without a script', async () => {
    const electrode = await pageOf('/electrodes/DEMO-R1')
    expect(electrode.text).toContain('href="/plan?electrode=DEMO-R1"')
    const { status, text } = await pageOf('/plan?electrode=DEMO-R1&room=12,5')
    expect(status).toBe(200)
    expect(text).toContain('Current probe at 12.5 m')
    // The full survey corrects the place by itself: in this soil the shorter line leaves the same doubt, and no promise is made.
    expect(text).toContain('30 m would be usual; the best lay-out here leaves no more in doubt: ± 0.7 %.')
    const short = await pageOf('/plan?electrode=DEMO-S1&room=20')
    expect(short.text).toMatch(
      /m would be better: the best lay-out here leaves ± [\d.]+ % in doubt, there ± [\d.]+ %/,
    )
    expect(text).toContain('SOIL-1')
    expect(text).toContain('100 Ωm throughout')
    expect(text).toContain('locator')
    expect(text).not.toContain('<script')
    expect(text).toMatch(/<svg class="plot"[\s\S]*current probe, 12\.5 m/)
    const ids = allIds(text)
    expect(new Set(ids).size).toBe(ids.length)
    for (const id of namedIds(text)) expect(ids).toContain(id)
  })
  it('says beside the control what is wrong with the room, and still shows the plan', async () => {
    const { status, text } = await pageOf('/plan?electrode=DEMO-R1&room=far')
    expect(status).toBe(422)
    expect(summaryLines(text).map((line) => line.fieldId)).toEqual(['room'])
    expect(inlineProblems(text).get('room')).toContain('metres')
    expect(text).toContain('Ways to set the stakes')
  })
  it('is not found for an electrode nobody registered, and refused to another site’s crew', async () => {
    expect((await pageOf('/plan?electrode=NONE')).status).toBe(404)
    const stranger = await house.get('field', '/plan?electrode=DEMO-R1', { sites: ['ELSEWHERE'] })
    expect(stranger.status).toBe(403)
  })
  it('leads to the list of electrodes where none is named', async () => {
    const answer = await house.get('quality', '/plan')
    expect([answer.status, answer.headers.get('location')]).toEqual([303, '/electrodes'])
  })
})

describe('the plan of an electrode at which something stands open', () => {
  it('tells to find the cause before it plans anything, and keeps remedies for after', async () => {
    const tests = ['2022', '2023', '2024', '2025', '2026'].map((year, i) =>
      shortSurvey(`STEP-${year}`, 'DEMO-R2', `${year}-03-0${i + 1}T10:00:00Z`, i < 4 ? 11 + 0.1 * i : 44),
    )
    for (const survey of tests) await house.deps.desk.handIn(survey, { via: 'api', by: 'local:admin' })
    await house.compare()
    const { text } = await pageOf('/plan?electrode=DEMO-R2')
    const cause = text.indexOf('Find the cause first')
    expect(cause).toBeGreaterThan(0)
    expect(text.slice(cause)).toContain('STEP-2026')
    expect(text.slice(cause)).toContain('consent of the person in control')
    expect(text.indexOf('Ways to set the stakes')).toBeGreaterThan(cause)
    expect(text.indexOf('Once the cause is known')).toBeGreaterThan(cause)
  })
  it('says nothing of the kind where nothing is open', async () => {
    expect((await pageOf('/plan?electrode=DEMO-S1')).text).not.toContain('Find the cause first')
  })
})
