import { readdirSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import Papa from 'papaparse'
import { describe, expect, it } from 'vitest'
import { PLANTED_KINDS } from '../../sample-data/make/draft.ts'
import { sampleFiles } from '../../sample-data/make/sample-files.ts'
import { ELECTRODE_KINDS } from '../../shared-lib/survey/register.ts'
import {
  CALIBRATION_FIELDS,
  ELECTRODE_FIELDS,
  LIMIT_FIELDS,
  WORK_FIELDS,
} from '../../shared-lib/survey/register-fields.ts'
import { SAMPLE } from './read-back.ts'

type Row = Record<string, string>

const rows = (name: string): Row[] =>
  Papa.parse<Row>(readFileSync(join(SAMPLE, name), 'utf8'), { header: true, skipEmptyLines: true }).data

describe('the sample data files', () => {
  it('are byte for byte what the script makes', () => {
    for (const [name, bytes] of sampleFiles())
      expect(Buffer.compare(readFileSync(join(SAMPLE, name)), bytes), `${name}: run npm run sample`).toBe(0)
  })

  it('are made alike twice in a row', () => {
    const [first, second] = [sampleFiles(), sampleFiles()]
    for (const [name, bytes] of first) expect(Buffer.compare(bytes, second.get(name)!), name).toBe(0)
  })

  it('leave no data file beside them that the script does not make', () => {
    const data = readdirSync(SAMPLE).filter((name) => /\.(csv|json)$/.test(name))
    expect(data.sort()).toEqual([...sampleFiles().keys()].sort())
  })

  it('hold at least 8 sites and 80 electrodes, with every kind there is', () => {
    const electrodes = rows('electrodes.csv')
    expect(new Set(electrodes.map((row) => row.site_id)).size).toBeGreaterThanOrEqual(8)
    expect(electrodes.length).toBeGreaterThanOrEqual(80)
    expect(new Set(electrodes.map((row) => row.kind))).toEqual(new Set(ELECTRODE_KINDS))
  })

  it.each([
    ['electrodes.csv', ELECTRODE_FIELDS],
    ['instruments.csv', CALIBRATION_FIELDS],
    ['limits.csv', LIMIT_FIELDS],
    ['works.csv', WORK_FIELDS],
  ] as const)('fill every column of %s somewhere', (name, fields) => {
    const table = rows(name)
    for (const { column } of Object.values(fields))
      expect(
        table.some((row) => row[column]),
        column,
      ).toBe(true)
  })

  it('give every electrode a limit with its basis, a responsible and a deputy address, and a retest interval', () => {
    for (const row of rows('electrodes.csv')) {
      expect(Number(row.limit_ohm), row.electrode_id).toBeGreaterThan(0)
      expect(row.limit_basis, row.electrode_id).toMatch(/invented/)
      expect(row.responsible_email).toMatch(/@example\.org$/)
      expect(row.deputy_email).toMatch(/@example\.org$/)
      expect(Number(row.retest_months)).toBeGreaterThan(0)
    }
  })

  it('name only ids that begin with DEMO- and that the register and the instruments table know', () => {
    const electrodes = new Set(rows('electrodes.csv').map((row) => row.electrode_id!))
    for (const id of [...electrodes, ...rows('electrodes.csv').map((row) => row.site_id!)])
      expect(id).toMatch(/^DEMO-/)
    for (const row of rows('instruments.csv')) expect(row.instrument_id).toMatch(/^DEMO-/)
    for (const row of [...rows('limits.csv'), ...rows('works.csv')])
      expect(electrodes).toContain(row.electrode_id)
  })

  it('hold a limit that changed once, and limits for several purposes', () => {
    const limits = rows('limits.csv')
    const telecom = limits.filter((row) => row.electrode_id === 'DEMO-BEL-11' && row.purpose === 'telecom')
    expect(new Set(telecom.map((row) => row.valid_from)).size).toBe(2)
    expect(new Set(telecom.map((row) => row.limit_ohm)).size).toBe(2)
    expect(new Set(limits.map((row) => row.purpose)).size).toBeGreaterThanOrEqual(6)
  })

  it('leave two instruments past their calibration on 2026-11-25', () => {
    const due = new Map<string, string>()
    for (const row of rows('instruments.csv')) due.set(row.instrument_id!, row.calibration_due_on!)
    expect([...due.values()].filter((day) => day < '2026-11-25')).toHaveLength(2)
  })
})

interface TruthEntry {
  surveyRef: string
  trueOhm?: number
  planted: { kind: string }[]
}

describe('truth.json', () => {
  const truth = JSON.parse(readFileSync(join(SAMPLE, 'truth.json'), 'utf8')) as {
    surveysWith: Record<string, number>
    surveys: TruthEntry[]
  }

  it('holds at least one survey of every kind that is planted', () => {
    for (const kind of PLANTED_KINDS)
      expect(
        truth.surveys.filter((one) => one.planted.some((planted) => planted.kind === kind)).length,
        kind,
      ).toBeGreaterThan(0)
  })

  it('shows corrosion over several tests of one electrode', () => {
    const nth = truth.surveys.flatMap((one) => one.planted.filter(({ kind }) => kind === 'corrosion'))
    expect(nth.length).toBeGreaterThanOrEqual(12)
  })

  it('leaves some 3 to 5 of a hundred surveys with something wrong besides weather, work and paper', () => {
    const quiet = ['dry-summer', 'hard-frost', 'recorded-work', 'past-calibration', 'not-made']
    const wrong = truth.surveys.filter((one) => one.planted.some(({ kind }) => !quiet.includes(kind)))
    const percent = (100 * wrong.length) / truth.surveys.length
    expect(percent).toBeGreaterThan(3)
    expect(percent).toBeLessThan(5)
  })
})
