import type { Finding } from '../survey/finding.ts'
import type { Calibration } from '../survey/register.ts'
import { dayText, rounded } from './comparison.ts'
import { DAY_MS } from './days.ts'
import type { FindingEvidence } from './evidence.ts'
import { type FleetScatter, learnScatter, newFleetScatter } from './model/fleet-scatter.ts'
import { afterSign, aged, type BiasBelief, type BiasSign, biasOf, freshBelief } from './model/instrument.ts'
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

interface Sign {
  instrumentId: string
  day: number
  residual: number
  /** Of the residual as a whole. */
  variance: number
  /** What was seen at a visit; null for a known resistor. */
  visit: InstrumentResidual | null
}

/** What is known of an instrument on the way through time. */
interface Running {
  input: InstrumentInput
  calibrated: readonly number[]
  /** Its last calibration, the signs since, and what they make believe. */
  since: number | null
  signs: Sign[]
  belief: BiasBelief
}

const LIKELY = 0.55
const SHOWN_SIGNS = 12

/**
 * Judges instruments over all sites by date, together: where two were at the same visit, what is known of one tells which of them
 * is off. A calibration starts anew. It changes no finding about an electrode: what a whole visit shares is taken off there
 * anyway; it says how tests are to be read. Deterministic; the order of the input cannot be seen.
 */
export function assessInstruments(inputs: readonly InstrumentInput[]): InstrumentFinding[] {
  const running = new Map(inputs.map((input) => [input.instrumentId, begin(input)]))
  const found: InstrumentFinding[] = []
  const signs = inputs.flatMap(signsOf).sort(byTime)
  const scatter = newFleetScatter()
  for (let i = 0; i < signs.length; ) {
    let end = i + 1
    // All instruments of one visit are judged from what was believed before it.
    while (end < signs.length && isSameVisit(signs[i]!, signs[end]!)) end++
    const visit = signs.slice(i, end)
    for (const sign of visit) arrive(running.get(sign.instrumentId)!, sign.day)
    const after = visit.map((s) =>
      afterSign(running.get(s.instrumentId)!.belief, signOf(s, running, scatter)),
    )
    for (const [k, sign] of visit.entries()) {
      const instrument = running.get(sign.instrumentId)!
      instrument.belief = after[k]!
      instrument.signs.push(sign)
      found.push(...findingsAt(sign, instrument))
      if (sign.visit) learnScatter(scatter, sign.residual / Math.sqrt(sign.variance))
    }
    i = end
  }
  return found
}

function begin(input: InstrumentInput): Running {
  const calibrated = input.calibrations
    .filter((c) => c.instrumentId === input.instrumentId)
    .map((c) => Date.parse(c.calibratedOn) / DAY_MS)
    .filter(Number.isFinite)
    .sort((a, b) => a - b)
  return { input, calibrated, since: null, signs: [], belief: freshBelief() }
}

/** Brings what is believed of an instrument forward to a day. */
function arrive(r: Running, day: number): void {
  const since = r.calibrated.findLast((d) => d <= day) ?? null
  if (since !== r.since) {
    r.since = since
    r.signs = []
    r.belief = freshBelief()
  }
  const last = r.signs.at(-1)
  // Nobody knows what became of it before the first sign: half a year of use at most.
  const days = last
    ? Math.max(2, day - last.day)
    : since === null
      ? 200
      : Math.min(200, Math.max(10, day - since))
  r.belief = aged(r.belief, days)
}

function signOf(
  { residual, variance, visit }: Sign,
  running: ReadonlyMap<string, Running>,
  { spread, farShare }: FleetScatter,
): BiasSign {
  if (!visit) return { check: true, residual, variance }
  const { ownVar, sharedVar, other } = visit
  const belief = other ? (running.get(other.instrumentId)?.belief ?? freshBelief()) : null
  return {
    residual,
    ownVar,
    sharedVar: Math.max(0.2 * sharedVar, variance * spread ** 2 - ownVar),
    farShare,
    other: other && belief ? { ...other, belief } : null,
  }
}

function findingsAt({ visit }: Sign, { input, belief, signs, since }: Running): InstrumentFinding[] {
  if (!visit || visit.tests.length === 0) return []
  const { chance, bias } = biasOf(belief)
  if (chance < LIKELY || !isSeenTwice(signs, bias)) return []
  const finding = biasFinding(input, chance, bias, signs, since)
  return visit.tests.map((test) => ({ ...test, finding }))
}

/** One odd visit may be the site, the crew or two bad electrodes; a known resistor is none of these. */
function isSeenTwice(used: readonly Sign[], bias: number): boolean {
  const agreeing = used.filter((s) => s.residual / bias > 0.5)
  return agreeing.length >= 2 || agreeing.some((s) => !s.visit)
}

function signsOf({ instrumentId, residuals, checks }: InstrumentInput): Sign[] {
  const visits = residuals
    .filter((r) => r.instrumentId === instrumentId)
    .map((visit): Sign => {
      const { day, residual, ownVar, sharedVar } = visit
      return { instrumentId, day, residual, variance: ownVar + sharedVar, visit }
    })
  const known = checks
    .filter((c) => c.instrumentId === instrumentId)
    .map(({ day, residual, variance }): Sign => ({ instrumentId, day, residual, variance, visit: null }))
  return [...visits, ...known]
}

/** By the first day of the visit, so that its instruments come together; then by names. */
function byTime(a: Sign, b: Sign): number {
  const day = (s: Sign) => s.visit?.visitDay ?? s.day
  const text = (s: Sign) =>
    `${s.visit?.siteId ?? ''} ${s.instrumentId} ${s.visit?.tests[0]?.surveyRef ?? s.residual}`
  return day(a) - day(b) || (text(a) < text(b) ? -1 : 1)
}

function isSameVisit(a: Sign, b: Sign): boolean {
  if (!a.visit || !b.visit) return false
  return a.visit.siteId === b.visit.siteId && a.visit.visitDay === b.visit.visitDay
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
  const sites = new Set(used.flatMap((s) => s.visit?.siteId ?? [])).size
  const checked = used.findLast((s) => !s.visit)
  const seen = checked
    ? `a known resistor read ${percent(checked.residual)} % off on ${dayText(checked.day * DAY_MS)}`
    : `what it saw at ${sites} site${sites === 1 ? '' : 's'} since its calibration moves together`
  const instrument: FindingEvidence['instrument'] = {
    instrumentId: input.instrumentId,
    biasPercent,
    calibratedOn: since === null ? null : dayText(since * DAY_MS),
    visits: used.slice(-SHOWN_SIGNS).map((s) => ({
      on: dayText(s.day * DAY_MS),
      siteId: s.visit?.siteId ?? null,
      residualPercent: percent(s.residual),
      doubtPercent: percent(Math.sqrt(s.variance)),
      check: !s.visit,
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
