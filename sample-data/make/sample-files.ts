/** Every file of the sample data, by name. */
import {
  CALIBRATION_FIELDS,
  ELECTRODE_FIELDS,
  LIMIT_FIELDS,
  WORK_FIELDS,
} from '../../shared-lib/survey/register-fields.ts'
import { tableText } from './csv.ts'
import { electrodesOf } from './electrode.ts'
import { FILES } from './files.ts'
import { calibrations } from './instrument.ts'
import { limitsTable } from './limit.ts'
import { longText } from './long-form.ts'
import { messyText } from './messy.ts'
import type { Dialect } from './site.ts'
import { SITES } from './site-list.ts'
import { WORKS } from './story-earth.ts'
import { listSurveys } from './survey-list.ts'
import { truthText } from './truth.ts'
import { semicolonText, wideText } from './wide-form.ts'
import { windows1252 } from './windows-1252.ts'

/** Name and bytes of each file, in a fixed order. */
export function sampleFiles(): Map<string, Uint8Array> {
  const utf8 = (text: string) => new TextEncoder().encode(text)
  const electrodes = SITES.flatMap(electrodesOf).map(({ register }) => register)
  const surveys = listSurveys()
  const of = (dialect: Dialect) =>
    surveys.filter((one) => one.dialect === dialect).map(({ survey }) => survey)
  const works = WORKS.toSorted((a, b) => (a.doneOn < b.doneOn ? -1 : 1))
  return new Map([
    ['electrodes.csv', utf8(tableText(ELECTRODE_FIELDS, electrodes))],
    ['instruments.csv', utf8(tableText(CALIBRATION_FIELDS, calibrations()))],
    ['limits.csv', utf8(tableText(LIMIT_FIELDS, limitsTable(electrodes)))],
    ['works.csv', utf8(tableText(WORK_FIELDS, works))],
    [FILES.long, utf8(longText(of('long')))],
    [FILES.wide, utf8(wideText(of('wide')))],
    [FILES.semicolon, windows1252(semicolonText(of('semicolon')))],
    ['messy.csv', utf8(messyText())],
    ['truth.json', utf8(truthText(surveys))],
  ])
}
