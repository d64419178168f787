import { cumulativeStdNormalProbability } from 'simple-statistics'
import { impliedSoilOhmM } from '../earth/electrode-resistance.ts'
import { expectedInSoil } from '../earth/expected-in-soil.ts'
import type { LayeredSoil } from '../earth/layered-soil.ts'
import type { Electrode } from '../survey/register.ts'
import { LINK_CAUTION } from './plan-cautions.ts'
import { addRemedies } from './remedies-add.ts'
import { growRemedies } from './remedies-grow.ts'
import type { Candidate } from './remedy-candidate.ts'

/** What is known of an electrode that reads too high. */
export interface Failing {
  electrode: Electrode
  measuredOhm: number
  limitOhm: number
  /** The site's soil with its relative standard uncertainty, where a soil survey told it. */
  soil?: LayeredSoil & { relativeUncertainty: number }
}

/** One thing that may bring it under the limit. */
export interface Remedy {
  name: Candidate['name'] | 'mend-joints'
  words: string
  /** Expected afterwards, ohm; null where nothing can be computed. */
  resistanceOhm: number | null
  /** Expanded (k = 2) doubt of it, %. */
  doubtPercent: number | null
  /** Chance that it ends at or under the limit, by the model; an estimate not checked at this operator. */
  chance: number | null
  /** How it was computed. */
  basis: string
  cautions: string[]
}

/** The electrode reads this much above what the site's soil lets expect: look at joints first. Our own estimate, no source. */
const TOO_HIGH = 1.5
/** What is asked of a remedy to count as enough. */
const ENOUGH = 0.8

const DIGGING =
  'Drawings and a locator before anything is driven or dug; a person licensed for it designs and joins where local codes ask for one.'
const TREATED =
  'Treatment washes out and must be renewed, can eat the metal and may be forbidden near water: last choice, and only as local rules allow.'

/**
 * What would help a failing electrode, in the order a person would try it: joints where the reading does not fit the soil; then what should be
 * enough, least metres of metal first; then what helps but may not be enough; treated soil last of all. Each value is the measured one times
 * what the model says it changes by (the field calculation where it has a picture, else the formulas), so that the model's own error mostly
 * cancels. Empty when the electrode passes, or what is known does not allow a computation.
 */
export function remediesFor(failing: Failing): Remedy[] {
  const { electrode, measuredOhm, limitOhm } = failing
  if (!(measuredOhm > 0 && limitOhm > 0 && measuredOhm < 1e9) || measuredOhm <= limitOhm) return []
  const soilOhmM = impliedSoilOhmM(electrode, measuredOhm)
  const soil: LayeredSoil | null =
    failing.soil ?? (soilOhmM === null ? null : { upperOhmM: soilOhmM, lowerOhmM: null, depthM: null })
  if (soil === null) return []
  const candidates = [...growRemedies(electrode, soil), ...addRemedies(electrode, soil)]
  const remedies = candidates.map((candidate) => judged(candidate, failing))
  const rank = (remedy: Remedy, candidate: Candidate): number =>
    (candidate.name === 'treat-soil' ? 1e9 : 0) +
    ((remedy.chance ?? 0) >= ENOUGH ? 0 : 1e6 * (2 - (remedy.chance ?? 0))) +
    candidate.metalM
  const ranked = remedies
    .map((remedy, i) => ({ remedy, order: rank(remedy, candidates[i]!) }))
    .sort((a, b) => a.order - b.order)
    .map(({ remedy }) => remedy)
  return [...mendJoints(failing), ...best(ranked)]
}

/** Of each kind the first that should be enough, else the one that helps most. */
function best(ranked: readonly Remedy[]): Remedy[] {
  const seen = new Set<string>()
  return ranked.filter(({ name }) => !seen.has(name) && seen.add(name))
}

function judged(candidate: Candidate, { measuredOhm, limitOhm, soil }: Failing): Remedy {
  const resistanceOhm = measuredOhm * candidate.factor
  // Nobody measured the soil that a deeper or wider electrode reaches, unless there was a soil survey.
  const unseen =
    soil === undefined ? candidate.newGround * 0.5 : candidate.newGround * soil.relativeUncertainty
  const doubt = Math.hypot(candidate.doubt, unseen)
  return {
    name: candidate.name,
    words: candidate.words,
    resistanceOhm,
    doubtPercent: 200 * doubt,
    chance: cumulativeStdNormalProbability(Math.log(limitOhm / resistanceOhm) / doubt),
    basis: candidate.basis,
    cautions: candidate.name === 'treat-soil' ? [TREATED, DIGGING] : [DIGGING],
  }
}

function mendJoints({ electrode, measuredOhm, soil }: Failing): Remedy[] {
  if (soil === undefined) return []
  const expected = expectedInSoil(electrode, soil)
  if (!expected || measuredOhm < TOO_HIGH * expected.resistanceOhm) return []
  const doubt = Math.hypot(expected.relativeDoubt, soil.relativeUncertainty)
  return [
    {
      name: 'mend-joints',
      words: `Look at clamp, joint and conductor first: the site’s soil lets about ${expected.resistanceOhm.toPrecision(3)} ohm expect, and a bad joint adds to it ohm for ohm.`,
      resistanceOhm: expected.resistanceOhm,
      doubtPercent: 200 * doubt,
      chance: null,
      basis: `${expected.formula} in the soil of the soil survey`,
      cautions: [LINK_CAUTION],
    },
  ]
}
