import { describe, expect, it } from 'vitest'
import { electrode, NOW } from './examples.ts'
import { ledgerUnderTest } from './ledger-under-test.ts'

const under = ledgerUnderTest()

describe('the register', () => {
  it('keeps the first words as in force since ever, whatever date they came with', async () => {
    const { ledger } = under
    const outcome = await ledger.putElectrode(electrode('R-1'), { nowIso: NOW, validFrom: '2020-01-01' })
    expect(outcome).toBe('created')
    expect((await ledger.getElectrode('R-1'))?.versions).toEqual([{ from: '', electrode: electrode('R-1') }])
  })

  it('says "same" for the same words, and writes nothing', async () => {
    const { ledger } = under
    await ledger.putElectrode(electrode('R-2', { notes: undefined }), { nowIso: NOW })
    expect(await ledger.putElectrode(electrode('R-2'), { nowIso: '2027-01-01T00:00:00Z' })).toBe('same')
    expect((await ledger.getElectrode('R-2'))?.versions).toHaveLength(1)
  })

  it('sorts back-dated words in, and the newest are what pages show', async () => {
    const { ledger } = under
    const at = (limitOhm: number, validFrom: string) =>
      ledger.putElectrode(electrode('R-3', { limitOhm }), { nowIso: NOW, validFrom })
    await at(25, '')
    await at(10, '2026-01-01T00:00:00+02:00')
    expect(await at(15, '2024-06-01')).toBe('changed')
    const record = await ledger.getElectrode('R-3')
    expect(record?.versions.map((v) => [v.from, v.electrode.limitOhm])).toEqual([
      ['', 25],
      ['2024-06-01T00:00:00.000Z', 15],
      ['2025-12-31T22:00:00.000Z', 10],
    ])
    expect(record?.electrode.limitOhm).toBe(10)
  })

  it('replaces a version of the same instant', async () => {
    const { ledger } = under
    await ledger.putElectrode(electrode('R-4'), { nowIso: NOW })
    await ledger.putElectrode(electrode('R-4', { limitOhm: 10 }), { nowIso: NOW, validFrom: '2026-01-01' })
    await ledger.putElectrode(electrode('R-4', { limitOhm: 5 }), { nowIso: NOW, validFrom: '2026-01-01' })
    expect((await ledger.getElectrode('R-4'))?.versions.map((v) => v.electrode.limitOhm)).toEqual([25, 5])
  })

  it('loses no version when many write at once', async () => {
    const { ledger } = under
    await ledger.putElectrode(electrode('R-5'), { nowIso: NOW })
    const years = [2011, 2012, 2013, 2014, 2015, 2016]
    await Promise.all(
      years.map((y) =>
        ledger.putElectrode(electrode('R-5', { limitOhm: y }), { nowIso: NOW, validFrom: `${y}-01-01` }),
      ),
    )
    const record = await ledger.getElectrode('R-5')
    expect(record?.versions.map((v) => v.electrode.limitOhm)).toEqual([25, ...years])
  })

  it('creates an electrode once when many create it at once', async () => {
    const { ledger } = under
    const outcomes = await Promise.all(
      Array.from({ length: 8 }, () => ledger.putElectrode(electrode('R-6'), { nowIso: NOW })),
    )
    expect(outcomes.toSorted()).toEqual(['created', ...Array(7).fill('same')])
  })

  it('follows an electrode to another site, in both sites lists and in the count', async () => {
    const { ledger } = under
    await ledger.putElectrode(electrode('M-1', { siteId: 'OLD' }), { nowIso: NOW })
    await ledger.putElectrode(electrode('M-2', { siteId: 'OLD' }), { nowIso: NOW })
    await ledger.putElectrode(electrode('M-1', { siteId: 'NEW' }), { nowIso: NOW })
    const idsOf = async (siteId: string) =>
      (await ledger.listElectrodes({ siteId })).items.map((r) => r.electrode.electrodeId)
    expect(await idsOf('OLD')).toEqual(['M-2'])
    expect(await idsOf('NEW')).toEqual(['M-1'])
    const sites = await ledger.listSites()
    expect(sites).toContainEqual({ siteId: 'OLD', electrodes: 1 })
    expect(sites).toContainEqual({ siteId: 'NEW', electrodes: 1 })
  })

  it('reads many at once and leaves out those it does not know, also when one is asked for twice', async () => {
    const { ledger } = under
    const ids = Array.from({ length: 130 }, (_, i) => `B-${i}`)
    await Promise.all(
      ids.map((id) => ledger.putElectrode(electrode(id, { siteId: 'BULK' }), { nowIso: NOW })),
    )
    const found = await ledger.getElectrodes([...ids, 'B-0', 'nobody'])
    expect([...found.keys()].toSorted()).toEqual(ids.toSorted())
  })

  it('takes ids with any characters and keeps them apart', async () => {
    const { ledger } = under
    for (const id of ['a#b', 'a%23b', 'Ü/ 1', '電極-1']) {
      await ledger.putElectrode(electrode(id, { siteId: 'ODD#1' }), { nowIso: NOW })
      expect((await ledger.getElectrode(id))?.electrode.electrodeId).toBe(id)
    }
    expect((await ledger.listElectrodes({ siteId: 'ODD#1' })).items).toHaveLength(4)
    expect((await ledger.listElectrodes({ siteId: 'ODD' })).items).toHaveLength(0)
  })
})

describe('the dated books', () => {
  it('keeps each calibration of an instrument under its day', async () => {
    const { ledger } = under
    const first = { instrumentId: 'C-1', calibratedOn: '2024-03-01', accuracyPercent: 2 }
    expect(await ledger.putCalibration(first)).toBe('created')
    expect(await ledger.putCalibration({ ...first, serial: undefined })).toBe('same')
    expect(await ledger.putCalibration({ ...first, accuracyPercent: 3 })).toBe('changed')
    await ledger.putCalibration({ instrumentId: 'C-1', calibratedOn: '2023-03-01' })
    await ledger.putCalibration({ instrumentId: 'C-2', calibratedOn: '2022-03-01' })
    expect(await ledger.getCalibrations('C-1')).toEqual([
      { instrumentId: 'C-1', calibratedOn: '2023-03-01' },
      { ...first, accuracyPercent: 3 },
    ])
    expect((await ledger.listCalibrations()).map((c) => c.instrumentId)).toEqual(['C-1', 'C-1', 'C-2'])
  })

  it('keeps a limit for each purpose, connection and date', async () => {
    const { ledger } = under
    const limits = [
      { electrodeId: 'L-1', purpose: 'lightning', limitOhm: 10 },
      { electrodeId: 'L-1', purpose: 'lightning', limitOhm: 1, appliesTo: 'connected' as const },
      { electrodeId: 'L-1', purpose: 'lightning', limitOhm: 8, validFrom: '2025-01-01' },
      { electrodeId: 'L-1', purpose: 'telecom', limitOhm: 5 },
    ]
    for (const limit of limits) await ledger.putLimit(limit)
    expect(await ledger.putLimit(limits[0]!)).toBe('same')
    const kept = await ledger.getLimits('L-1')
    expect(kept).toHaveLength(4)
    expect(kept).toEqual(expect.arrayContaining(limits))
  })

  it('hands out saved column maps by name', async () => {
    const { ledger } = under
    await ledger.putColumnMap('crew b', { ref: 'survey_ref' })
    await ledger.putColumnMap('crew a', { r: { field: 'resistance_ohm', unit: 'mohm' } })
    await ledger.putColumnMap('crew b', { no: 'survey_ref' })
    expect(await ledger.listColumnMaps()).toEqual([
      { name: 'crew a', map: { r: { field: 'resistance_ohm', unit: 'mohm' } } },
      { name: 'crew b', map: { no: 'survey_ref' } },
    ])
  })
})
