import { describe, expect, it } from 'vitest'
import { evaluateSurvey } from '../../shared-lib/evaluate/evaluate-survey.ts'
import type { Survey } from '../../shared-lib/survey/survey.ts'
import { CALIBRATION, context, lineSurvey, ROD, SOUND } from './surveys.ts'

const judge = (survey: Survey) => evaluateSurvey(survey, context({ calibration: CALIBRATION }))
const partOf = (survey: Survey, name: string): number | undefined =>
  judge(survey).uncertaintyParts.find((part) => part.name === name)?.standardOhm

/** Readings of an electrode that is a hemisphere of `radiusM` (Curdts 1958, Tagg 1964), 10 ohm by itself. */
function hemisphere(currentProbeM: number, radiusM: number, change: Partial<Survey> = {}): Survey {
  const at = (percent: number) => {
    const x = (currentProbeM * percent) / 100
    const fall = radiusM * (1 / x + 1 / currentProbeM - 1 / (currentProbeM - x))
    return [percent, Math.round(1000 * (1 - fall)) / 100]
  }
  return lineSurvey(currentProbeM, Object.fromEntries([52, 62, 72].map(at)), change)
}

describe('what the set-up adds to the uncertainty', () => {
  it('stakes that are off by a hand’s breadth matter on a short line, hardly on a long one', () => {
    const name = 'repeatability, stakes and display'
    const short = partOf(hemisphere(4.5, 0.5), name)!
    const long = partOf(hemisphere(60, 0.5), name)!
    expect(short).toBeGreaterThan(1.1 * long)
  })
  it('a lead of a three-wire test that nobody measured is carried up to 10 ohm; one that was is taken off with a twentieth of it', () => {
    const threeWire = { connection: '3-wire' } as const
    expect(partOf({ ...hemisphere(30, 0.4), ...threeWire }, 'earth lead (three-wire)')).toBeCloseTo(
      0.06 / Math.sqrt(3),
      12,
    )
    expect(partOf({ ...SOUND, ...threeWire }, 'earth lead (three-wire)')).toBeUndefined()
    const plain = judge(SOUND)
    const measured = { ...SOUND, ...threeWire, earthLeadOhm: 0.2 }
    expect(plain.resistanceOhm! - judge(measured).resistanceOhm!).toBeCloseTo(0.2, 9)
    expect(partOf(measured, 'lead taken off')).toBeCloseTo(0.01, 12)
  })
  it('a lead recorded larger than the reading is doubted and not taken off', () => {
    const judged = judge({ ...SOUND, connection: '3-wire', earthLeadOhm: 20 })
    expect(judged.validity).toBe('doubtful')
    expect(judged.resistanceOhm).toBeCloseTo(judge(SOUND).resistanceOhm!, 9)
  })
  it('leads side by side couple', () => {
    const beside = { ...hemisphere(30, 0.4), leads: 'side-by-side' } as const
    expect(partOf(beside, 'coupling of leads side by side')).toBeCloseTo(0.06 / Math.sqrt(3), 12)
  })
  it('an auxiliary stake of more than 100 times the earth adds 1 %, 1 % more for each doubling', () => {
    const value = judge(SOUND).resistanceOhm!
    const at = (probeHOhm: number) => partOf({ ...SOUND, probeHOhm }, 'auxiliary stake, current probe (H)')
    expect(at(900)).toBeUndefined()
    expect(at(200 * value)).toBeCloseTo(0.01 * value, 9)
    expect(at(800 * value)).toBeCloseTo(0.03 * value, 9)
  })
  it('a recorded angle leaves a doubt of half its correction', () => {
    const turned = { ...SOUND, leadAngleDeg: 90 }
    const judged = judge(turned)
    const correctionOhm = Math.abs(judged.resistanceOhm! - judged.meanOhm!)
    expect(correctionOhm).toBeGreaterThan(0.1)
    expect(2 * partOf(turned, 'angle between the leads')!).toBeCloseTo(0.5 * correctionOhm, 9)
  })
  it('leads that lie within a single reading are taken off: both between two terminals, one with three wires', () => {
    const single = (change: Partial<Survey>): Survey => ({
      ...SOUND,
      readings: [{ condition: 'ok', resistanceOhm: 5 }],
      ...change,
    })
    const value = (change: Partial<Survey>) => judge(single(change)).resistanceOhm
    expect(value({ method: 'known-earth', knownOhm: 1, leadResistanceOhm: 0.4 })).toBeCloseTo(3.6, 9)
    expect(value({ method: 'selective', connection: '3-wire', earthLeadOhm: 0.3 })).toBeCloseTo(4.7, 9)
    expect(value({ method: 'selective', connection: '4-wire', earthLeadOhm: 0.3 })).toBe(5)
    expect(value({ method: 'clamp-loop', earthLeadOhm: 0.3 })).toBe(5)
  })
  it('gain and digits are two contributions, each a rectangle', () => {
    const value = judge(SOUND).resistanceOhm!
    expect(partOf(SOUND, 'instrument')).toBeCloseTo((0.02 * value) / Math.sqrt(3), 9)
    expect(partOf(SOUND, 'digits of the display')).toBeCloseTo(0.03 / Math.sqrt(3), 9)
    const unknown = evaluateSurvey(SOUND, context({ electrode: ROD }))
    expect(unknown.uncertaintyParts.map((part) => part.name)).toContain('instrument (not known: 5 %)')
  })
})
