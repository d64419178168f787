import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import type { ElectrodePlan } from '../../functions/web/api/plan/plan-electrode.ts'
import { type House, openHouse, rodAt, shortSurvey, someone } from './house.ts'

const admin = someone('admin')
let house: House
beforeAll(async () => {
  house = await openHouse()
  await house.call(
    admin,
    'PUT',
    '/api/electrodes/N-1',
    rodAt('North', { lengthM: 3, diameterMm: 16, limitOhm: 10 }),
  )
}, 30_000)
afterAll(() => house.close())

interface Answered {
  method: string
  resistanceOhm: number | null
  reasons: string[]
  findings: { code: string }[]
}
const post = async (survey: object) => {
  const answer = await house.call(admin, 'POST', '/api/surveys', survey)
  return { status: answer.status, body: (await answer.json()) as Answered }
}
/** 100 over 20 ohm-m, the upper layer 2 m deep (Wenner readings COMPUTED by image series). */
const SOUNDING = {
  surveyRef: 'W-1',
  siteId: 'North',
  method: 'four-point',
  testedAt: '2026-04-02T10:00:00Z',
  readings: [
    [1, 15.178],
    [2, 6.192],
    [4, 1.744],
    [8, 0.4762],
  ].map(([probeSpacingM, resistanceOhm]) => ({ probeSpacingM, resistanceOhm })),
}

describe('two-point, slope and four-point surveys through the service', () => {
  it('a sounding is answered with the soil', async () => {
    const { status, body } = await post(SOUNDING)
    expect(status).toBe(201)
    expect(body).toMatchObject({ method: 'four-point', validity: 'valid', resistanceOhm: null })
    expect(String(body.reasons)).toContain('Two layers')
  })
  it('from then on it is what the site’s electrodes are expected to read', async () => {
    await house.compare()
    const sound = await post(shortSurvey('F-1', 'N-1', '2026-04-03T10:00:00Z', 15))
    const high = await post(shortSurvey('F-2', 'N-1', '2026-04-04T10:00:00Z', 150))
    const codes = (answer: typeof sound): string[] => answer.body.findings.map((finding) => finding.code)
    expect(codes(sound)).not.toContain('implausible-for-electrode')
    expect(codes(high)).toContain('implausible-for-electrode')
  })
  it('the plan knows it, says what the electrode should read, and what would help', async () => {
    const answer = await house.call(admin, 'GET', '/api/electrodes/N-1/plan?roomM=15')
    expect(answer.status).toBe(200)
    const { plan, siteSoil, newest, remedies } = (await answer.json()) as ElectrodePlan
    if (!plan.ok || !siteSoil) throw new Error('no plan')
    expect(siteSoil.surveyRefs).toEqual(['W-1'])
    expect(siteSoil.depthM!).toBeGreaterThan(1.8)
    expect(siteSoil.depthM!).toBeLessThan(2.2)
    expect(plan).toMatchObject({ ok: true, currentProbeM: 15 })
    expect(plan.expected!.resistanceOhm).toBeGreaterThan(10)
    expect(plan.expected!.resistanceOhm).toBeLessThan(25)
    expect(newest).toMatchObject({ surveyRef: 'F-2', limitOhm: 10 })
    expect(remedies[0]!.name).toBe('mend-joints')
  })
  it('refuses a room that is none', async () => {
    expect((await house.call(admin, 'GET', '/api/electrodes/N-1/plan?roomM=-1')).status).toBe(422)
  })
  it('a bond is judged less its leads; a slope survey by its three readings', async () => {
    const bond = await post({
      surveyRef: 'B-1',
      electrodeId: 'N-1',
      method: 'two-point',
      testedAt: '2026-04-05T10:00:00Z',
      leadResistanceOhm: 0.02,
      fromPoint: 'bar',
      toPoint: 'pipe',
      readings: [{ resistanceOhm: 0.06 }],
    })
    expect(bond.body.resistanceOhm!).toBeCloseTo(0.04, 9)
    const slope = await post({
      surveyRef: 'S-1',
      electrodeId: 'N-1',
      method: 'slope',
      testedAt: '2026-04-06T10:00:00Z',
      currentProbeM: 30,
      measuredAs: 'electrode-alone',
      readings: [
        [6, 13.9],
        [12, 14.6],
        [18, 15],
      ].map(([potentialProbeM, resistanceOhm]) => ({ potentialProbeM, resistanceOhm })),
    })
    expect(slope.status).toBe(201)
    expect(slope.body.resistanceOhm).toBeGreaterThan(14)
    expect(slope.body.resistanceOhm).toBeLessThan(16)
  })
})
