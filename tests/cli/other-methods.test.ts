import { writeFile } from 'node:fs/promises'
import { join } from 'node:path'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { type Folder, folder, stakeline } from './command.ts'

/** One site with its soil, a bond, a large earth by the slope method and a rod that does not fit the soil: one run of `check`. */
const REGISTER = [
  'electrode_id,site_id,kind,length_m,diameter_mm,area_m2,limit_ohm',
  'E-1,HILL,rod,3,16,,100',
  'E-2,HILL,grid,,10,400,10',
].join('\n')
const LIMITS = 'electrode_id,purpose,limit_ohm\nE-1,bonding,0.05\n'
const SURVEYS = [
  'survey_ref,site_id,electrode_id,tested_at,method,current_probe_m,potential_probe_m,probe_spacing_m,probe_depth_m,resistance_ohm,lead_resistance_ohm,measured_as',
  ...[
    [1, 15.9],
    [2, 7.2],
    [4, 2.4],
    [8, 0.62],
  ].map(([a, ohm]) => `W-1,HILL,,2024-05-04T10:00:00Z,four-point,,,${a},0.1,${ohm},,`),
  ...[
    [1, 15],
    [2, 75],
    [4, 3.75],
  ].map(([a, ohm]) => `W-2,HILL,,2024-05-04T11:00:00Z,four-point,,,${a},,${ohm},,`),
  'B-1,HILL,E-1,2024-05-05T10:00:00Z,two-point,,,,,0.062,0.02,connected',
  ...[
    [12, 0.83],
    [24, 0.94],
    [36, 1.03],
  ].map(([x, ohm]) => `S-1,HILL,E-2,2024-05-05T10:00:00Z,slope,60,${x},,,${ohm},,electrode-alone`),
  ...[
    [15.6, 300],
    [18.6, 303],
    [21.6, 307],
  ].map(
    ([x, ohm]) => `F-1,HILL,E-1,2024-05-06T10:00:00Z,fall-of-potential,30,${x},,,${ohm},,electrode-alone`,
  ),
].join('\n')

let here: Folder
const records = new Map<string, Record<string, unknown> & { findings: { code: string; message: string }[] }>()
beforeAll(async () => {
  here = await folder()
  const files = { register: REGISTER, limits: LIMITS, surveys: SURVEYS }
  const args: string[] = []
  for (const [name, text] of Object.entries(files)) {
    const path = join(here.path, `${name}.csv`)
    await writeFile(path, text)
    args.push(`--${name}`, path)
  }
  const { status, stdout } = await stakeline(['check', ...args, '--json'])
  expect(status).toBe(0)
  for (const line of stdout.trim().split('\n')) {
    const record = JSON.parse(line)
    records.set(record.surveyRef, record)
  }
}, 60_000)
afterAll(() => here.remove())

const codesOf = (ref: string): string[] => records.get(ref)!.findings.map((finding) => finding.code)

describe('two-point, slope and four-point surveys through check', () => {
  it('a sounding gives the soil and its layers, and no resistance of an electrode', () => {
    const soil = records.get('W-1')!
    expect(soil).toMatchObject({ validity: 'valid', electrodeId: null, resistanceOhm: null })
    expect(String(soil.reasons)).toMatch(/Two layers explain the 4 readings.*ohm-m over 22/)
  })
  it('a sounding with one reading ten times off is doubted and told', () => {
    expect(records.get('W-2')).toMatchObject({ validity: 'doubtful' })
    expect(codesOf('W-2')).toContain('readings-disagree')
  })
  it('a bond is judged less its leads against the bonding limit', () => {
    const bond = records.get('B-1')!
    expect(bond.resistanceOhm).toBeCloseTo(0.042, 9)
    expect(bond).toMatchObject({ limitOhm: 0.05, impliedSoilResistivityOhmM: null })
  })
  it('a slope survey of a grid measured from near gets a value against its limit', () => {
    const slope = records.get('S-1')!
    expect(slope).toMatchObject({ method: 'slope', conformity: 'conforming' })
    expect(slope.resistanceOhm).toBeGreaterThan(0.9)
    expect(slope.resistanceOhm).toBeLessThan(1.1)
  })
  it('the soil is what the site’s electrodes are expected to read: a rod of ten times that is told', () => {
    expect(codesOf('F-1')).toContain('implausible-for-electrode')
    expect(codesOf('S-1')).not.toContain('implausible-for-electrode')
  })
})
