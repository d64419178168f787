import type { Finding } from '../survey/finding.ts'
import type { Calibration } from '../survey/register.ts'
import { dayText, rounded } from './comparison.ts'
import { DAY_MS } from './days.ts'
import type { FindingEvidence } from './evidence.ts'
import { type BiasSign, instrumentBelief } from './model/instrument.ts'
import type { InstrumentResidual } from './model/learn-visit.ts'
import type { ResistorCheck } from './resistor-check.ts'

/** All that is known of one instrument; any order. */
export interface InstrumentInput {
  instrumentId: string
  /** What it saw at each visit, of every site, as `replaySite` put it aside. Those before its last calibration may be left out. */
  residuals: readonly InstrumentResidual[]
  calibrations: readonly Calibration[]
  /** Its readings of known resistors: they say more than any number of visits. */
  checks: readonly ResistorCheck[]
  parametersVersion?: string
}

/** One finding for each survey of a visit at which the instrument looked off. */
export interface InstrumentFinding {
  electrodeId: string
  surveyRef: string
  finding: Finding
}

interface Sign extends BiasSign {
  siteId: string | null
  ref: string
  tests: InstrumentResidual['tests']
}

const LIKELY = 0.45
const SHOWN_SIGNS = 12

/**
 * Judges instruments over all sites by date. A calibration starts anew. It changes no finding about an electrode: what a whole
 * visit shares is taken off there anyway; it says how tests are to be read. Deterministic; the order of the input cannot be seen.
 */
export function assessInstruments(inputs: readonly InstrumentInput[]): InstrumentFinding[] {
  const byId = [...inputs].sort((a, b) => (a.instrumentId < b.instrumentId ? -1 : 1))
  return byId.flatMap(assessInstrument)
}

/** As `assessInstruments`, for one. */
export function assessInstrument(input: InstrumentInput): InstrumentFinding[] {
  const { instrumentId } = input
  const calibrated = input.calibrations
    .filter((c) => c.instrumentId === instrumentId)
    .map((c) => Date.parse(c.calibratedOn) / DAY_MS)
    .filter(Number.isFinite)
    .sort((a, b) => a - b)
  const signs = signsOf(input)
  const found: InstrumentFinding[] = []
  for (const [i, sign] of signs.entries()) {
    if (sign.tests.length === 0) continue
    const since = calibrated.findLast((d) => d <= sign.day) ?? null
    const used = signs.slice(0, i + 1).filter((s) => since === null || s.day >= since)
    const belief = instrumentBelief(used, since)
    if (belief.chance < LIKELY || !isSeenTwice(used, belief.bias)) continue
    const finding = biasFinding(input, belief.chance, belief.bias, used, since)
    for (const test of sign.tests) found.push({ ...test, finding })
  }
  return found
}

/** One odd visit may be the site, the crew or two bad electrodes; a known resistor is none of these. */
function isSeenTwice(used: readonly Sign[], bias: number): boolean {
  const agreeing = used.filter((s) => s.residual / bias > 0.5)
  return agreeing.length >= 2 || agreeing.some((s) => s.check)
}

function signsOf(input: InstrumentInput): Sign[] {
  const visits = input.residuals
    .filter((r) => r.instrumentId === input.instrumentId)
    .map(({ day, residual, variance, siteId, tests }) => ({
      day,
      residual,
      variance,
      siteId,
      ref: tests[0]?.surveyRef ?? '',
      tests,
    }))
  const checks = input.checks
    .filter((c) => c.instrumentId === input.instrumentId)
    .map(({ day, residual, variance, surveyRef }) => ({
      day,
      residual,
      variance,
      siteId: null,
      ref: surveyRef,
      tests: [],
      check: true,
    }))
  const text = (s: Sign) => `${s.siteId ?? ''} ${s.ref}`
  return [...visits, ...checks].sort((a, b) => a.day - b.day || (text(a) < text(b) ? -1 : 1))
}

function biasFinding(
  input: InstrumentInput,
  chance: number,
  bias: number,
  used: readonly Sign[],
  since: number | null,
): Finding {
  const percent = (ln: number) => rounded((Math.exp(ln) - 1) * 100, 2)
  const biasPercent = Math.round((Math.exp(bias) - 1) * 100)
  const sites = new Set(used.flatMap((s) => s.siteId ?? [])).size
  const checked = used.findLast((s) => s.check)
  const seen = checked
    ? `a known resistor read ${percent(checked.residual)} % off on ${dayText(checked.day * DAY_MS)}`
    : `what it saw at ${sites} site${sites === 1 ? '' : 's'} since its calibration moves together`
  const instrument: FindingEvidence['instrument'] = {
    instrumentId: input.instrumentId,
    biasPercent,
    calibratedOn: since === null ? null : dayText(since * DAY_MS),
    visits: used.slice(-SHOWN_SIGNS).map((s) => ({
      on: dayText(s.day * DAY_MS),
      siteId: s.siteId,
      residualPercent: percent(s.residual),
      doubtPercent: percent(Math.sqrt(s.variance)),
      check: s.check === true,
    })),
  }
  return {
    code: 'instrument-bias',
    severity: 'warning',
    probability: rounded(Math.min(0.99, chance), 2),
    message: `Instrument ${input.instrumentId} seems to read about ${Math.abs(biasPercent)} % too ${biasPercent > 0 ? 'high' : 'low'}: ${seen}. ${checked ? 'Have it calibrated before its next use' : 'Check it on a known resistor before its next use, and have it calibrated if that confirms it'}.`,
    advice: [
      'Measure a known resistor near the values in question and hand it in as `check-resistor`.',
      'Repeat one of these tests with another instrument.',
    ],
    evidence: {
      instrument,
      alternatives: [
        { explanation: 'the instrument has gone off since its calibration', probability: rounded(chance, 2) },
        { explanation: 'season or weather shared by these visits', probability: rounded(1 - chance, 2) },
      ],
      ...(input.parametersVersion ? { parametersVersion: input.parametersVersion } : {}),
    },
  }
}
