import { existsSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import { readCalibrations, readElectrodes, readWorks } from '../../../shared-lib/survey/read-register.ts'
import { readSurveysFromText } from '../../../shared-lib/survey/read-surveys.ts'
import { sourceOf } from '../../../shared-lib/survey/source.ts'
import type { FleetRecords } from './judge-fleet.ts'
import type { Truth } from './truth.ts'

/** A folder of surveys with known truth: electrodes.csv, instruments.csv, surveys.csv, truth.json and perhaps works.csv. */
export async function readFleet(folder: string): Promise<FleetRecords & { truth: Truth[] }> {
  const source = (name: string) => sourceOf(readFileSync(join(folder, name)))
  const works = existsSync(join(folder, 'works.csv')) ? (await readWorks(source('works.csv'))).items : []
  const text = readFileSync(join(folder, 'surveys.csv'), 'utf8')
  return {
    electrodes: (await readElectrodes(source('electrodes.csv'))).items,
    calibrations: (await readCalibrations(source('instruments.csv'))).items,
    works,
    surveys: readSurveysFromText(text).entries.flatMap((e) => (e.kind === 'survey' ? [e.survey] : [])),
    truth: JSON.parse(readFileSync(join(folder, 'truth.json'), 'utf8')),
  }
}
