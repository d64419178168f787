import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { contentHash, surveyId } from '../../shared-lib/survey/content-id.ts'
import type { Survey } from '../../shared-lib/survey/survey.ts'
import { aSurvey } from './surveys.ts'

describe('contentHash', () => {
  const hash = contentHash(aSurvey)

  it('does not see the order of keys or of readings', () => {
    const turned = Object.fromEntries(Object.entries(aSurvey).reverse()) as unknown as Survey
    expect(contentHash({ ...turned, readings: [...aSurvey.readings].reverse() })).toBe(hash)
  })

  it('does not see the offset in which one moment is written, nor the notes', () => {
    expect(contentHash({ ...aSurvey, testedAt: '2026-05-04T09:20:00Z', notes: 'wind' })).toBe(hash)
  })

  it('does not see how a unit was converted', () => {
    const [first, ...others] = aSurvey.readings
    expect(
      contentHash({ ...aSurvey, readings: [{ ...first!, potentialProbeM: 15.600000000001 }, ...others] }),
    ).toBe(hash)
  })

  it('sees every other change', () => {
    const [first, ...others] = aSurvey.readings
    const changed: Survey[] = [
      { ...aSurvey, surveyRef: 'S-2' },
      { ...aSurvey, testedAt: '2026-05-04T10:20:01+01:00' },
      { ...aSurvey, tester: 'B. Crew' },
      { ...aSurvey, corrects: 'S-0' },
      { ...aSurvey, readings: others },
      { ...aSurvey, readings: [{ ...first!, resistanceOhm: 10.9001 }, ...others] },
      { ...aSurvey, readings: [first!, first!, ...others] },
    ]
    expect(new Set([hash, ...changed.map(contentHash)]).size).toBe(changed.length + 1)
  })
})

describe('surveyId', () => {
  it('is safe in a URL and differs by kind, subject and reference', () => {
    fc.assert(
      fc.property(fc.string(), fc.string(), fc.string(), fc.string(), (id, ref, otherId, otherRef) => {
        fc.pre(id.normalize('NFC').trim() !== otherId.normalize('NFC').trim())
        fc.pre(ref.normalize('NFC').trim() !== otherRef.normalize('NFC').trim())
        const ids = [
          surveyId({ kind: 'electrode', id }, ref),
          surveyId({ kind: 'site', id }, ref),
          surveyId({ kind: 'electrode', id: otherId }, ref),
          surveyId({ kind: 'electrode', id }, otherRef),
        ]
        expect(new Set(ids).size).toBe(4)
        for (const each of ids) expect(each).toMatch(/^[0-9a-f]{32}$/)
      }),
    )
  })

  it('is the same for one name composed or decomposed', () => {
    expect(surveyId({ kind: 'electrode', id: 'E-\u00e9' }, 'S')).toBe(
      surveyId({ kind: 'electrode', id: 'E-e\u0301' }, 'S'),
    )
  })
})
