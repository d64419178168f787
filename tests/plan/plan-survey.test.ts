import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { planSurvey } from '../../shared-lib/plan/plan-survey.ts'
import { ELECTRODE_KINDS } from '../../shared-lib/survey/register.ts'

const planned = (request: Parameters<typeof planSurvey>[0]) => {
  const plan = planSurvey(request)
  if (!plan.ok) throw new Error(plan.problem)
  return plan
}

describe('plan of a survey', () => {
  it('puts the current probe of a 3 m rod at 30 m and the short survey at 52, 62 and 72 % (common practice, no source)', () => {
    const plan = planned({ kind: 'rod', lengthM: 3 })
    expect(plan.currentProbeM).toBe(30)
    expect(plan.short.map((stake) => stake.distanceM)).toEqual([15.6, 18.6, 21.6])
    expect(plan.full.map((stake) => stake.percent)).toEqual([10, 20, 30, 40, 50, 60, 70, 80, 90])
    expect(plan.advised).toBe('short')
    expect(plan.leads.currentM).toBe(33)
  })
  it('uses the room there is and then asks for the full survey', () => {
    const plan = planned({ kind: 'rod', lengthM: 3, roomM: 20 })
    expect(plan.currentProbeM).toBe(20)
    expect(plan.wantedCurrentProbeM).toBe(30)
    expect(plan.advised).toBe('full')
    expect(plan.advice[0]).toContain('less room')
  })
  it('sends to another method where the two earths would overlap', () => {
    expect(planned({ kind: 'grid', diagonalM: 40, roomM: 60 }).advised).toBe('another-method')
  })
  it('says what is missing instead of guessing', () => {
    const plan = planSurvey({ kind: 'rod' })
    expect(plan.ok).toBe(false)
    expect(!plan.ok && plan.problem).toContain('driven depth')
    expect(planSurvey({ kind: 'rod', lengthM: 3, roomM: -1 }).ok).toBe(false)
  })
  it('carries the cautions with every plan: closing the link, drawings before driving, lightning', () => {
    const text = planned({ kind: 'rod', lengthM: 3 }).cautions.join(' ')
    expect(text).toContain('Closing the link again')
    expect(text).toContain('locator')
    expect(text).toContain('lightning')
  })
  it('never puts a stake beyond the room, and answers any request without NaN', () => {
    const any = fc.option(fc.double(), { nil: undefined })
    fc.assert(
      fc.property(fc.constantFrom(...ELECTRODE_KINDS), any, any, any, (kind, lengthM, diagonalM, roomM) => {
        const plan = planSurvey({ kind, lengthM, diagonalM, roomM } as never)
        if (!plan.ok) return
        expect(JSON.stringify(plan)).not.toMatch(/null/)
        if (roomM !== undefined) expect(plan.currentProbeM).toBeLessThanOrEqual(roomM + 0.05)
      }),
    )
  })
})
