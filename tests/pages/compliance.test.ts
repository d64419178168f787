import Papa from 'papaparse'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import type { Person, Role } from '../../shared-lib/ports/identity.ts'
import { fillDemo } from './demo.ts'
import { type House, NOW_MS, openHouse } from './house.ts'

let house: House
beforeAll(async () => {
  house = await openHouse()
  const { ledger } = house.deps
  const at = { nowIso: new Date(NOW_MS).toISOString() }
  await fillDemo(house)
  await ledger.putElectrode(
    {
      ...{ electrodeId: 'DEMO-NEW', siteId: 'DEMO-NORTH', kind: 'rod', locationText: '=HYPERLINK("x")' },
      ...{ limitOhm: 50, limitBasis: '@house rule 7' },
    },
    at,
  )
  for (const [calibratedOn, calibrationDueOn] of [
    ['2024-02-01', '2025-02-01'],
    ['2025-03-01', '2026-03-01'],
    ['2026-04-01', '2027-04-01'],
  ] as const)
    await ledger.putCalibration({
      instrumentId: 'DEMO-I1',
      calibratedOn,
      calibrationDueOn,
      accuracyPercent: 2,
    })
})
afterAll(() => house.close())

const text = async (role: Role, path: string, more?: Partial<Person>) => {
  const answer = await house.get(role, path, more)
  expect(answer.status).toBe(200)
  return answer.text()
}

const rowsOf = async (role: Role, more?: Partial<Person>) => {
  const csv = (await text(role, '/sites/DEMO-NORTH/summary.csv', more)).replace('\uFEFF', '')
  const { data } = Papa.parse<Record<string, string>>(csv, { header: true, skipEmptyLines: true })
  return new Map(data.map((row) => [row.electrode_id, row]))
}

describe('the compliance summary of a site', () => {
  it('has operator, count, rule and who printed it, and each electrode by its newest test', async () => {
    const page = await text('quality', '/sites/DEMO-NORTH/summary')
    for (const words of [
      'Invented Grid',
      'Counted</dt><dd>4 May 2026, 12:00 (UTC)',
      '“simple”: a valid test is decided by its value alone',
      'by Demo quality',
      '13 May 2025',
      'invented house rule',
      '<strong>Nonconforming</strong>',
      '<strong>Tested, no value</strong>',
      '<strong>Never tested</strong>',
    ])
      expect(page).toContain(words)
    expect(page).not.toContain('DEMO-S1')
  })

  it('says the calibration that was in force at the test, not the newest one', async () => {
    const page = await text('quality', '/sites/DEMO-NORTH/summary')
    expect(page).toMatch(/DEMO-R1<\/a>(?:(?!<\/tr>)[\s\S])*DEMO-I1<span class="aside">1 March 2025/)
    expect((await rowsOf('quality')).get('DEMO-R1')).toMatchObject({
      instrument_id: 'DEMO-I1',
      calibrated_on: '2025-03-01',
      calibration_due_on: '2026-03-01',
    })
  })

  it('says the same as CSV, numbers as numbers and an older value in a column of its own', async () => {
    const rows = await rowsOf('quality')
    const stored = await house.deps.ledger.getSurvey({ kind: 'electrode', id: 'DEMO-R1' }, 'DEMO-R1-2025')
    expect(rows.get('DEMO-R1')).toMatchObject({
      survey_ref: 'DEMO-R1-2025',
      resistance_ohm: String(stored!.judged.resistanceOhm),
      expanded_uncertainty_ohm: String(stored!.judged.expandedUncertaintyOhm),
      limit_ohm: '25',
      limit_basis: 'invented house rule',
      stands_as: 'nonconforming',
      conformity_rule: 'simple',
      // The open step asks for a retest within 14 days, earlier than the interval.
      next_due_on: '2025-05-27',
      overdue: 'yes',
    })
    expect(rows.get('DEMO-R2')).toMatchObject({
      survey_ref: 'DEMO-R2-OPEN',
      resistance_ohm: '',
      stands_as: 'no-value',
      last_value_survey_ref: 'DEMO-R2-2025',
    })
    expect(rows.get('DEMO-NEW')).toMatchObject({ survey_ref: '', stands_as: 'never-tested', limit_ohm: '50' })
  })

  it('guards text that a spreadsheet would run', async () => {
    const row = (await rowsOf('quality')).get('DEMO-NEW')
    expect(row).toMatchObject({ location_text: `'=HYPERLINK("x")`, limit_basis: `'@house rule 7` })
  })

  it('tells who answers for some electrodes of those alone, and says so', async () => {
    const me = { email: 'other@example.org' }
    expect([...(await rowsOf('engineer', me)).keys()]).toEqual(['DEMO-R2'])
    expect(await text('engineer', '/sites/DEMO-NORTH/summary', me)).toContain('Only the electrodes that name')
  })

  it('names the limit’s purpose and basis where a dated limit was in force, and not one set after the test', async () => {
    const { ledger } = house.deps
    const limit = { electrodeId: 'DEMO-S1', purpose: 'lightning', basis: 'rule of 2019' }
    await ledger.putLimit({ ...limit, limitOhm: 3, validFrom: '2019-01-01' })
    await ledger.putLimit({ ...limit, limitOhm: 2, basis: 'rule of 2026', validFrom: '2026-01-01' })
    const before = await text('quality', '/sites/DEMO-SOUTH/summary')
    // Judged by the plain limit until the electrode is judged anew: its basis is not the lightning rule's.
    expect(before).toContain('10 Ω')
    expect(before).not.toContain('rule of 20')
  })
})
