import { describe, expect, it } from 'vitest'
import { codes, read } from './surveys.ts'

describe('methods and outcomes', () => {
  const head =
    'survey_ref,electrode_id,site_id,tested_at,method,outcome,current_probe_m,potential_probe_m,probe_spacing_m,probe_depth_m,resistance_ohm,known_ohm,instrument_id,lead_resistance_ohm,lead_angle_deg,condition'
  const row = (values: Record<string, string>) =>
    head
      .split(',')
      .map((name) => values[name] ?? '')
      .join(',')
  const file = (...rows: Record<string, string>[]) =>
    `${head}\n${rows.map((values) => row({ survey_ref: 'S-1', tested_at: '2026-05-04', ...values })).join('\n')}\n`

  it('four-point needs a site and a spacing in place of electrode and probes', () => {
    const four = { method: 'four-point', site_id: 'N', resistance_ohm: '5' }
    expect(read(file({ ...four, probe_spacing_m: '2', probe_depth_m: '0.2' })).surveys).toMatchObject([
      { siteId: 'N', readings: [{ probeSpacingM: 2, probeDepthM: 0.2, resistanceOhm: 5 }] },
    ])
    expect(codes(file(four))).toEqual([[2, 'probe_spacing_m', 'field-needed']])
    expect(codes(file({ ...four, site_id: '', probe_spacing_m: '2' }))).toEqual([
      [2, 'site_id', 'field-needed'],
    ])
  })

  it('four-point files need no electrode and no probe columns', () => {
    const text =
      'survey_ref,site_id,tested_at,method,probe_spacing_m,resistance_ohm\nS-1,N,2026-05-04,four-point,2,5\n'
    expect(read(text).surveys).toHaveLength(1)
  })

  it('two-point is one reading', () => {
    const two = {
      method: 'two-point',
      electrode_id: 'E-7',
      resistance_ohm: '0.3',
      lead_resistance_ohm: '0.1',
    }
    expect(read(file(two)).surveys).toMatchObject([
      { leadResistanceOhm: 0.1, readings: [{ resistanceOhm: 0.3 }] },
    ])
    expect(codes(file(two, two))).toEqual([[2, null, 'one-reading-only']])
  })

  it('check-resistor needs the resistor and the instrument, and no electrode', () => {
    const check = { method: 'check-resistor', known_ohm: '10', instrument_id: 'I-3', resistance_ohm: '10.02' }
    expect(read(file(check)).surveys).toMatchObject([{ knownOhm: 10, instrumentId: 'I-3' }])
    expect(codes(file({ ...check, known_ohm: '' }))).toEqual([[2, 'known_ohm', 'field-needed']])
    expect(codes(file({ ...check, instrument_id: '' }))).toEqual([[2, 'instrument_id', 'field-needed']])
    expect(codes(file({ ...check, electrode_id: 'E-7' }))).toEqual([
      [2, 'electrode_id', 'field-not-expected'],
    ])
  })

  it('clamp, selective, high-frequency, current-injection and known-earth need no distances', () => {
    for (const method of ['clamp-loop', 'selective', 'high-frequency', 'current-injection', 'known-earth'])
      expect(read(file({ method, electrode_id: 'E-7', resistance_ohm: '3' })).surveys).toMatchObject([
        { method },
      ])
  })

  it('a test that could not be made is a result without readings', () => {
    const none = { electrode_id: 'E-7', outcome: 'no-access' }
    expect(read(file(none)).surveys).toMatchObject([{ outcome: 'no-access', readings: [] }])
    expect(codes(file({ ...none, potential_probe_m: '18', resistance_ohm: '11' }))).toEqual([
      [2, 'outcome', 'readings-not-expected'],
    ])
  })

  it('with the leads at an angle a potential probe may stand beyond the current probe', () => {
    const angled = {
      electrode_id: 'E-7',
      current_probe_m: '30',
      potential_probe_m: '40',
      resistance_ohm: '11',
    }
    expect(read(file({ ...angled, lead_angle_deg: '90' })).surveys).toHaveLength(1)
    expect(codes(file({ ...angled, lead_angle_deg: '10' }))).toEqual([
      [2, 'potential_probe_m', 'probe-beyond'],
    ])
  })

  it('a condition stands in place of a resistance', () => {
    const at = { electrode_id: 'E-7', current_probe_m: '30', potential_probe_m: '18' }
    expect(read(file({ ...at, condition: 'auxiliary-h' })).surveys).toMatchObject([
      { readings: [{ potentialProbeM: 18, condition: 'auxiliary-h' }] },
    ])
    expect(codes(file({ ...at, condition: 'fine' }))).toContainEqual([2, 'condition', 'unknown-word'])
    expect(codes(file({ ...at, condition: 'ok', resistance_ohm: 'OL' }))).toEqual([
      [2, 'resistance_ohm', 'condition-contradicts'],
    ])
    expect(codes(file({ ...at, condition: 'over-range', resistance_ohm: '2000' }))).toEqual([
      [2, 'resistance_ohm', 'condition-contradicts'],
    ])
  })

  it('words are matched without regard to case, spaces, - or _', () => {
    const text = file({ electrode_id: 'E-7', method: 'Clamp Loop', resistance_ohm: '3', outcome: 'TESTED' })
    expect(read(text).surveys).toMatchObject([{ method: 'clamp-loop', outcome: 'tested' }])
    expect(codes(text.replace('Clamp Loop', 'clamp'))).toEqual([[2, 'method', 'unknown-word']])
  })
})
