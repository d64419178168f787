import type { Finding } from '../survey/finding.ts'
import type { Calibration } from '../survey/register.ts'
import { rounded } from './comparison.ts'
import { DAY_MS } from './days.ts'
import { instrumentBelief } from './model/instrument.ts'
import type { InstrumentResidual } from './model/learn-visit.ts'

/** One finding for each survey of a visit at which the instrument looked off. */
export interface InstrumentFinding {
  electrodeId: string
  surveyRef: string
  finding: Finding
}

const LIKELY = 0.7

/**
 * Judges the instruments over all sites, from the residuals that `replaySite` puts aside; by date, any order of input.
 * A calibration starts anew. It changes no finding about an electrode: what a whole visit shares is taken off there anyway.
 */
export function assessInstruments(
  residuals: readonly InstrumentResidual[],
  calibrations: readonly Calibration[],
): InstrumentFinding[] {
  const byInstrument = Map.groupBy(residuals, (r) => r.instrumentId)
  const found: InstrumentFinding[] = []
  for (const id of [...byInstrument.keys()].sort()) {
    const days = calibrations
      .filter((c) => c.instrumentId === id)
      .map((c) => Date.parse(c.calibratedOn) / DAY_MS)
      .filter(Number.isFinite)
      .sort((a, b) => a - b)
    const signs = [...byInstrument.get(id)!].sort(
      (a, b) => a.day - b.day || (a.siteId < b.siteId ? -1 : a.siteId > b.siteId ? 1 : 0),
    )
    for (const [i, sign] of signs.entries()) {
      const since = days.findLast((d) => d <= sign.day) ?? null
      const used = signs.slice(0, i + 1).filter((s) => since === null || s.day >= since)
      const belief = instrumentBelief(used, since)
      if (belief.chance < LIKELY) continue
      for (const test of sign.tests)
        found.push({ ...test, finding: biasFinding(id, belief.chance, belief.bias, used, since) })
    }
  }
  return found
}

function biasFinding(
  id: string,
  chance: number,
  bias: number,
  used: readonly InstrumentResidual[],
  since: number | null,
): Finding {
  const percent = Math.round((Math.exp(bias) - 1) * 100)
  const sites = new Set(used.map((s) => s.siteId)).size
  return {
    code: 'instrument-bias',
    severity: 'warning',
    probability: rounded(chance, 2),
    message: `Instrument ${id} seems to read about ${Math.abs(percent)} % too ${percent > 0 ? 'high' : 'low'}: what it saw at ${sites} site${sites === 1 ? '' : 's'} since its calibration moves together. Check it on a known resistor before its next use, and have it calibrated if that confirms it.`,
    advice: [
      'Measure a known resistor near the values in question and hand it in as `check-resistor`.',
      'Repeat one of these tests with another instrument.',
    ],
    evidence: {
      instrumentId: id,
      biasPercent: percent,
      visits: used.length,
      sites,
      calibratedOn: since === null ? null : new Date(since * DAY_MS).toISOString().slice(0, 10),
      visitResidualsPercent: used.slice(-8).map((s) => rounded((Math.exp(s.residual) - 1) * 100, 2)),
      alternatives: [
        { explanation: 'season or weather shared by these visits', probability: rounded(1 - chance, 2) },
      ],
    },
  }
}
