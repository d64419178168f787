import { describe, expect, it } from 'vitest'
import {
  readCalibrations,
  readElectrodes,
  readLimits,
  readWorks,
} from '../../shared-lib/survey/read-register.ts'
import { sourceOf } from '../../shared-lib/survey/source.ts'

const codes = ({ refused }: { refused: { row: number | null; column: string | null; code: string }[] }) =>
  refused.map(({ row, column, code }) => [row, column, code])

describe('the register', () => {
  it('is read with all its columns', async () => {
    const text = `electrode_id,site_id,kind,length_m,diameter_mm,diagonal_m,area_m2,count,spacing_m,burial_depth_m,material,installed_on,limit_ohm,limit_basis,responsible_email,deputy_email,retest_months,retest_policy,can_be_isolated,connected_to,tag,location_text,usual_line,usual_current_probe_m,hazards,latitude,longitude,time_zone,notes
DEMO-1,DEMO-N,rod-group,3,16,12.5,40,4,3,0.5,copper,1998,25,in house,a@example.org,b@example.org,12,rotating,outage-only,frame,T1,by the gate,north,30,bees,48.2,16.3,Europe/Vienna,-
`
    const { items, refused, unknownColumns } = await readElectrodes(text)
    expect(refused).toEqual([])
    expect(unknownColumns).toEqual([])
    expect(items).toEqual([
      {
        electrodeId: 'DEMO-1',
        siteId: 'DEMO-N',
        kind: 'rod-group',
        lengthM: 3,
        diameterMm: 16,
        diagonalM: 12.5,
        areaM2: 40,
        count: 4,
        spacingM: 3,
        burialDepthM: 0.5,
        material: 'copper',
        installedOn: '1998-01-01',
        limitOhm: 25,
        limitBasis: 'in house',
        responsibleEmail: 'a@example.org',
        deputyEmail: 'b@example.org',
        retestMonths: 12,
        retestPolicy: 'rotating',
        canBeIsolated: 'outage-only',
        connectedTo: 'frame',
        tag: 'T1',
        locationText: 'by the gate',
        usualLine: 'north',
        usualCurrentProbeM: 30,
        hazards: 'bees',
        latitude: 48.2,
        longitude: 16.3,
        timeZone: 'Europe/Vienna',
        notes: '-',
      },
    ])
  })

  it('refuses a bad row by row and column and keeps the others', async () => {
    const table = await readElectrodes(
      'electrode_id;site_id;kind;length_ft;time_zone;responsible_email;colour\nE-1;N;rod;10;Mars/X;nobody;red\n\nE-2;N;pole;3;;;\nE-3;;rod;3;;;\nE-4;N;Rod;9,8425;;;\n',
    )
    expect(codes(table)).toEqual([
      [2, 'time_zone', 'bad-time-zone'],
      [2, 'responsible_email', 'bad-email'],
      [4, 'kind', 'unknown-word'],
      [5, 'site_id', 'missing-value'],
    ])
    expect(table.items).toEqual([{ electrodeId: 'E-4', siteId: 'N', kind: 'rod', lengthM: 2.999994 }])
    expect(table.unknownColumns).toEqual(['colour'])
  })

  it('takes an entry said twice once, and refuses it said otherwise', async () => {
    const table = await readElectrodes('electrode_id,site_id,kind\nE-1,N,rod\nE-1,N,rod\nE-1,N,ring\n')
    expect(table.items).toHaveLength(1)
    expect(codes(table)).toEqual([[4, 'electrode_id', 'duplicate-entry']])
  })

  it('that lacks a needed column is refused as a whole', async () => {
    expect(codes(await readElectrodes('electrode_id,kind\nE-1,rod\n'))).toEqual([
      [null, 'site_id', 'columns-missing'],
    ])
    expect(codes(await readElectrodes(''))).toEqual([[null, null, 'empty-file']])
  })

  it('is read from bytes of any encoding', async () => {
    const latin = Uint8Array.from('electrode_id,site_id,kind,notes\r\nE-1,Köln,rod,\r\n', (c) =>
      c.charCodeAt(0),
    )
    expect((await readElectrodes(sourceOf(latin))).items).toMatchObject([{ siteId: 'Köln' }])
    expect(codes(await readElectrodes(sourceOf(Uint8Array.from([0x50, 0x4b, 3, 4]))))).toEqual([
      [null, null, 'not-a-csv'],
    ])
  })
})

describe('the other tables', () => {
  it('limits: one a purpose', async () => {
    const { items, refused } = await readLimits(
      'electrode_id,purpose,limit_ohm,applies_to,season_factor,basis,edition,valid_from\nE-1,lightning,10,electrode-alone,1.2,in house,2,2020-01-01\nE-1,telecom,5,,,,,\n',
    )
    expect(refused).toEqual([])
    expect(items).toEqual([
      {
        electrodeId: 'E-1',
        purpose: 'lightning',
        limitOhm: 10,
        appliesTo: 'electrode-alone',
        seasonFactor: 1.2,
        basis: 'in house',
        edition: '2',
        validFrom: '2020-01-01',
      },
      { electrodeId: 'E-1', purpose: 'telecom', limitOhm: 5 },
    ])
  })

  it('instruments: several calibrations of one', async () => {
    const { items } = await readCalibrations(
      'instrument_id,calibrated_on,calibration_due_on,accuracy_percent,accuracy_digits,resolution_mohm,range_max_kohm,serial,certificate\nI-1,2024-01-05,2025-01-05,2 %,3,10,2,SN,C1\nI-1,2025-01-07,,,,,,,\n',
    )
    expect(items).toEqual([
      {
        instrumentId: 'I-1',
        calibratedOn: '2024-01-05',
        calibrationDueOn: '2025-01-05',
        accuracyPercent: 2,
        accuracyDigits: 3,
        resolutionOhm: 0.01,
        rangeMaxOhm: 2000,
        serial: 'SN',
        certificate: 'C1',
      },
      { instrumentId: 'I-1', calibratedOn: '2025-01-07' },
    ])
  })

  it('works', async () => {
    const { items, refused } = await readWorks(
      'electrode_id,done_on,what,notes\nE-1,2021-06-01,extended,two rods\nE-1,2021-06-02,painted,\n',
    )
    expect(items).toEqual([{ electrodeId: 'E-1', doneOn: '2021-06-01', what: 'extended', notes: 'two rods' }])
    expect(refused).toMatchObject([{ row: 3, column: 'what', value: 'painted', code: 'unknown-word' }])
  })
})
