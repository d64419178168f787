import { mkdirSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import type { Survey } from '../../../shared-lib/survey/survey.ts'
import type { Fleet } from './simulate-fleet.ts'

const SHARES = [10, 20, 30, 40, 50, 60, 70, 80, 90, 52, 62, 72]

/** Writes a fleet as a folder in the form `readFleet` reads: wide survey rows, register, instruments, truth. */
export function writeFleet(folder: string, fleet: Fleet): void {
  mkdirSync(folder, { recursive: true })
  const rows = (heads: readonly string[], lines: readonly (readonly unknown[])[]) =>
    `${[heads, ...lines].map((l) => l.map((v) => v ?? '').join(',')).join('\n')}\n`
  const put = (name: string, text: string) => writeFileSync(join(folder, name), text)
  put(
    'electrodes.csv',
    rows(
      [
        'electrode_id',
        'site_id',
        'kind',
        'length_m',
        'diameter_mm',
        'count',
        'spacing_m',
        'area_m2',
        'diagonal_m',
        'burial_depth_m',
        'limit_ohm',
      ],
      fleet.electrodes.map((e) => [
        e.electrodeId,
        e.siteId,
        e.kind,
        e.lengthM,
        e.diameterMm,
        e.count,
        e.spacingM,
        e.areaM2,
        e.diagonalM,
        e.burialDepthM,
        e.limitOhm,
      ]),
    ),
  )
  put(
    'instruments.csv',
    rows(
      ['instrument_id', 'calibrated_on', 'accuracy_percent'],
      fleet.calibrations.map((c) => [c.instrumentId, c.calibratedOn, c.accuracyPercent]),
    ),
  )
  put(
    'surveys.csv',
    rows(
      [
        'survey_ref',
        'electrode_id',
        'tested_at',
        'current_probe_m',
        'instrument_id',
        'tester',
        'measured_as',
        'event',
        'soil_state',
        ...SHARES.map((s) => `r${s}_ohm`),
      ],
      fleet.surveys.map((s) => [
        s.surveyRef,
        s.electrodeId,
        s.testedAt,
        s.currentProbeM,
        s.instrumentId,
        s.tester,
        s.measuredAs,
        s.event,
        s.soilState,
        ...wide(s),
      ]),
    ),
  )
  put('truth.json', JSON.stringify(fleet.truth))
}

function wide(s: Survey): (number | undefined)[] {
  const at = new Map(
    s.readings.map((r) => [Math.round((100 * r.potentialProbeM!) / s.currentProbeM!), r.resistanceOhm]),
  )
  return SHARES.map((share) => at.get(share))
}
