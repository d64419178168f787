import { describe, expect, it } from 'vitest'
import { recordOf } from '../../shared-lib/ledger/judge-record.ts'
import { squeezed, squeezedSurvey, unsqueezed, unsqueezedSurvey } from '../../shared-lib/ledger/squeeze.ts'
import { recordOfSurvey, surveyRow } from '../../shared-lib/ledger/surveys.ts'
import type { Survey } from '../../shared-lib/survey/survey.ts'
import { electrode, NOW, survey } from './examples.ts'

const bytes = (base64: string) => new Uint8Array(Buffer.from(base64, 'base64'))

describe('what is stored squeezed', () => {
  it('can be read as schema version 3 wrote it: the words it leans on are part of that version', () => {
    expect(unsqueezed(bytes('i46ONtSJVrJV0jEGqQcxQFpiYRzDWBAzNlanGjVFoqbAEF2MlAZPB8GghIDkKgA='))).toBe(
      '[[[1,["=",3],[["=",0.52]],[["=",1]]],[]],{"electrode":{"electrodeId":"T-1","kind":"rod","siteId":"S"},"works":[]}]',
    )
    expect(unsqueezedSurvey(bytes('g9ZlFcRVZiG6huD6jOw6DDbykVJUCWryVSqhFG0YBUxtLQA='))).toBe(
      '{"id":"x","subject":{"kind":"electrode","id":"T-1"},"survey":{"method":"fall-of-potential","outcome":"tested","notes":"dry clay"},"judged":{"validity":"valid"}}',
    )
  })

  it('is the same text again, also with characters of any script', () => {
    const text = JSON.stringify({ notes: 'Erder südlich, 接地, 🌧 \ud83d', value: 1 / 3 })
    expect(unsqueezed(squeezed(text))).toBe(text)
    expect(unsqueezedSurvey(squeezedSurvey(text))).toBe(text)
  })
})

describe('a stored survey', () => {
  it('is one write unit with every field of a form filled in', () => {
    const filled: Survey = {
      ...survey('S-W-07/3', '9b0c1a52-5f1e-4b62-a1a4-3f6f2f8d7c10').survey,
      ...{
        purpose: 'periodic',
        instrumentId: 'EARTH-TESTER-0123',
        tester: 'Nomsa Okeke',
        lineDirection: 'north-east',
      },
      ...{
        secondPerson: 'Jonas Weber',
        witness: 'Ada Lind',
        permitRef: 'P-2026-0519',
        personInControl: 'M. Berg',
      },
      ...{ soilState: 'moist', soilTemperatureC: 9.5, airTemperatureC: 14, rainLast48h: 'a little' },
      ...{ linkOpenedAt: '2026-05-01T08:40:00+01:00', linkClosedAt: '2026-05-01T09:20:00+01:00' },
      ...{ linkChecked: 'tight', restoredBy: 'Nomsa Okeke', visual: 'good', connection: '3-wire' },
      ...{ probeHOhm: 820, probeSOhm: 940, interferenceV: 0.4, testFrequencyHz: 128, testCurrentMa: 10 },
      notes:
        'Fence on the left of the line, gate open. Stakes watered once. Same line as last autumn, beside the ditch.',
      readings: [52, 57, 62, 67, 72].map((percent, i) => ({
        potentialProbeM: (30 * percent) / 100,
        resistanceOhm: Number((11.37 + 0.013 * i + 0.02 * (i % 2)).toFixed(2)),
        condition: 'ok',
      })),
    }
    const words = electrode('S-W-07/3', { siteId: 'HILL WEST', diameterMm: 16, limitOhm: 25 })
    const books = { versions: [{ from: '', electrode: words }], limits: [], calibrations: [] }
    const origin = { via: 'form', by: 'pool:3f6f2f8d-7c10-4b62-a1a4-9b0c1a525f1e' } as const
    const record = recordOf(filled, origin, NOW, { siteId: 'HILL WEST', books, booksAt: 'wXauyEI_Mhhm' })
    const row = surveyRow(record)
    const size = Object.entries(row).reduce(
      (sum, [name, v]) => sum + name.length + (v instanceof Uint8Array ? v.byteLength : String(v).length),
      0,
    )
    expect(JSON.stringify(record).length).toBeGreaterThan(2500)
    expect(size).toBeLessThanOrEqual(1024)
    expect(recordOfSurvey(row)).toEqual(record)
  })

  it('of schema version 2, which kept it as it was, is read too', () => {
    const record = survey('E-1', 'S-1')
    expect(recordOfSurvey({ pk: 'E#E-1', sk: 'SV#S-1', v: 2, d: record })).toEqual(record)
  })
})
