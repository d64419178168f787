import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { beforeAll, describe, expect, it } from 'vitest'
import { electrodesOf } from '../../sample-data/make/electrode.ts'
import { INSTRUMENTS } from '../../sample-data/make/instrument.ts'
import { SITES } from '../../sample-data/make/site-list.ts'
import { READING_FIELDS, SURVEY_FIELDS } from '../../shared-lib/survey/fields.ts'
import type { Refused } from '../../shared-lib/survey/refused.ts'
import {
  CONDITIONS,
  EVENTS,
  LINK_CHECKS,
  MEASURED_AS,
  METHODS,
  OUTCOMES,
  PURPOSES,
  SOIL_STATES,
  type Survey,
  VISUALS,
} from '../../shared-lib/survey/survey.ts'
import { readBack, SAMPLE, SURVEY_FILES } from './read-back.ts'

let surveys: Survey[] = []
let refused: Refused[] = []
let unknownColumns: string[] = []
const byFile = new Map<string, Survey[]>()

beforeAll(async () => {
  for (const name of SURVEY_FILES) {
    const read = await readBack(name)
    const its = read.entries.flatMap((entry) => (entry.kind === 'survey' ? [entry.survey] : []))
    byFile.set(name, its)
    surveys = [...surveys, ...its]
    refused = [...refused, ...read.entries.filter((entry) => entry.kind === 'refused')]
    unknownColumns = [...unknownColumns, ...read.unknownColumns]
  }
})

describe('the sample surveys, read back', () => {
  it('are refused nowhere and use no unknown column', () => {
    expect(refused).toEqual([])
    expect(unknownColumns).toEqual([])
  })

  it('are about 2,000 over ten years, each in one file only', () => {
    expect(surveys.length).toBeGreaterThan(1900)
    expect(surveys.length).toBeLessThan(2300)
    expect(new Set(surveys.map((one) => one.surveyRef)).size).toBe(surveys.length)
    const days = surveys.map((one) => one.testedAt.slice(0, 10)).sort()
    expect(days[0]! >= '2016-11-01' && days[0]! < '2017-01-01').toBe(true)
    expect(days.at(-1)! >= '2026-09-01' && days.at(-1)! <= '2026-10-31').toBe(true)
  })

  it('match truth.json one to one', () => {
    const truth = JSON.parse(readFileSync(join(SAMPLE, 'truth.json'), 'utf8')) as {
      surveys: { surveyRef: string; file: string }[]
    }
    for (const name of SURVEY_FILES)
      expect(new Set(byFile.get(name)!.map((one) => one.surveyRef))).toEqual(
        new Set(truth.surveys.filter((one) => one.file === name).map((one) => one.surveyRef)),
      )
  })

  it('name only electrodes, sites and instruments that are in the tables', () => {
    const electrodes = new Set(SITES.flatMap(electrodesOf).map((one) => one.register.electrodeId))
    const sites = new Set(SITES.map((one) => one.siteId))
    const instruments = new Set(INSTRUMENTS.map((one) => one.instrumentId))
    for (const { surveyRef, electrodeId, siteId, instrumentId } of surveys) {
      expect(surveyRef).toMatch(/^DEMO-/)
      if (electrodeId !== undefined) expect(electrodes).toContain(electrodeId)
      if (siteId !== undefined) expect(sites).toContain(siteId)
      if (instrumentId !== undefined) expect(instruments).toContain(instrumentId)
    }
  })

  it('fill every survey and reading column of the contract somewhere', () => {
    // Not among the columns of a first hand-in: a correction names a survey already there.
    for (const key of Object.keys(SURVEY_FIELDS) as (keyof Survey)[])
      if (key !== 'corrects')
        expect(
          surveys.some((one) => one[key] !== undefined),
          key,
        ).toBe(true)
    const readings = surveys.flatMap((one) => one.readings)
    for (const key of Object.keys(READING_FIELDS) as (keyof typeof READING_FIELDS)[])
      expect(
        readings.some((one) => one[key] !== undefined),
        key,
      ).toBe(true)
  })

  it('use every word of every list', () => {
    const used = (key: keyof Survey) => new Set(surveys.map((one) => one[key]))
    const lists = {
      method: METHODS,
      purpose: PURPOSES,
      outcome: OUTCOMES,
      measuredAs: MEASURED_AS,
      soilState: SOIL_STATES,
      linkChecked: LINK_CHECKS,
      visual: VISUALS,
      event: EVENTS,
    } as const
    for (const [key, words] of Object.entries(lists))
      for (const word of words) expect(used(key as keyof Survey), `${key} ${word}`).toContain(word)
    const conditions = new Set(surveys.flatMap((one) => one.readings.map(({ condition }) => condition)))
    for (const word of CONDITIONS) expect(conditions).toContain(word)
  })

  it('hold short and full surveys in each file, at the positions of common practice', () => {
    for (const [name, its] of byFile) {
      const lines = its.filter((one) => one.method === 'fall-of-potential' && one.outcome === 'tested')
      const percent = (one: Survey) =>
        one.readings.map((r) => Math.round((100 * r.potentialProbeM!) / one.currentProbeM!)).join()
      const shapes = new Set(lines.map(percent))
      expect(shapes, name).toEqual(new Set(['52,62,72', '10,20,30,40,50,60,70,80,90']))
    }
  })

  it('point repeats and second directions at earlier surveys of the same electrode', () => {
    const byRef = new Map(surveys.map((one) => [one.surveyRef, one]))
    const pointing = surveys.filter((one) => one.repeatOf ?? one.secondDirectionOf)
    expect(pointing.length).toBeGreaterThan(10)
    for (const one of pointing) {
      const first = byRef.get((one.repeatOf ?? one.secondDirectionOf)!)
      expect(first?.electrodeId).toBe(one.electrodeId)
      expect(first!.testedAt <= one.testedAt).toBe(true)
    }
  })
})
