import type { Survey } from '../survey/survey.ts'
import { apparentResistivityOhmM } from './four-point.ts'
import type { LayeredSoil } from './layered-soil.ts'
import { apparentOf, fitSoil, type SoilFit, type SoundingPoint } from './two-layer-sounding.ts'

/** A four-point survey of a site; a `Survey` is one. */
export type Sounding = Pick<Survey, 'surveyRef' | 'testedAt' | 'readings'> &
  Partial<Pick<Survey, 'corrects' | 'outcome' | 'method'>>

/** What the site's soil surveys say together. Resistivities in ohm-m, depth in m. */
export interface SiteSoil extends LayeredSoil {
  /** Standard uncertainty of what an electrode at this site may expect from it, relative: fit, disagreement, season and place. */
  relativeUncertainty: number
  /** Of the newest survey it rests on, ISO 8601. */
  testedAt: string
  /** The surveys it rests on, newest first. */
  surveyRefs: string[]
  /** One plain sentence: why one layer or two. */
  why: string
}

/** A sounding counts half as much when it is this much older than the newest. Our own estimate, no source. */
const HALF_LIFE_YEARS = 5
/**
 * Soundings of one site agree when they differ by less than a factor of two over their spacings: from 0 to 20 °C alone soil changes by 1.9
 * (sandy loam, NBS lineage, from memory).
 */
const AGREE_LN = Math.log(2)
/** Season of the test against that of the sounding, and the place of the electrode against that of the stakes. Our own estimate, no source. */
const SEASON_AND_PLACE = 0.25

/** A misfit that halves the weight of a sounding, relative. Our own estimate, no source. */
const POOR_FIT = 0.25

interface Usable {
  sounding: Sounding
  points: SoundingPoint[]
  fit: SoilFit
  /** How much it counts, by age and by how well a soil explains it. */
  share: number
}

/** The readings of a four-point survey as apparent resistivities; what cannot be used is left out. */
export function soundingPoints(readings: Sounding['readings']): SoundingPoint[] {
  return readings.flatMap(({ condition, probeSpacingM, probeDepthM, resistanceOhm }) => {
    if (condition !== 'ok' || probeSpacingM === undefined || resistanceOhm === undefined) return []
    const apparentOhmM = apparentResistivityOhmM(probeSpacingM, resistanceOhm, probeDepthM)
    return apparentOhmM === null ? [] : [{ spacingM: probeSpacingM, apparentOhmM }]
  })
}

/**
 * The soil of a site from its four-point surveys, in any order. Corrected surveys, other methods and tests that were not made do not count. Of those that contradict
 * each other the side with more weight is taken, newer ones counting more; all that agree with it are fitted together. Null when none can be
 * used. Pure: give it those not after the day in question.
 */
export function soilOfSite(soundings: readonly Sounding[]): SiteSoil | null {
  const corrected = new Set(soundings.map((sounding) => sounding.corrects))
  const live = soundings.filter(
    ({ surveyRef, method = 'four-point', outcome = 'tested' }) =>
      method === 'four-point' && outcome === 'tested' && !corrected.has(surveyRef),
  )
  const usable = weighed(live)
  if (usable.length === 0) return null
  const camp = strongestCamp(usable)
  const [newest] = camp
  const points = camp.flatMap(({ points: own, share }) => own.map((point) => ({ ...point, weight: share })))
  const fit = camp.length === 1 ? newest!.fit : (fitSoil(points) ?? newest!.fit)
  const against = usable.length > camp.length ? shareAgainst(usable, camp) * AGREE_LN : 0
  return {
    ...fit.soil,
    relativeUncertainty: Math.hypot(
      fit.lowerDoubt === null ? fit.upperDoubt : Math.max(fit.upperDoubt, Math.min(fit.lowerDoubt, 1) / 2),
      fit.misfit,
      against,
      SEASON_AND_PLACE,
    ),
    testedAt: newest!.sounding.testedAt,
    surveyRefs: camp.map(({ sounding }) => sounding.surveyRef),
    why: fit.why,
  }
}

/** Newest first, those without a usable reading or date left out. */
function weighed(soundings: readonly Sounding[]): Usable[] {
  const found = soundings.flatMap((sounding) => {
    const points = soundingPoints(sounding.readings)
    const fit = fitSoil(points)
    const at = Date.parse(sounding.testedAt)
    return fit && Number.isFinite(at) ? [{ sounding, points, fit, at }] : []
  })
  found.sort((a, b) => b.at - a.at || (a.sounding.surveyRef < b.sounding.surveyRef ? -1 : 1))
  const yearMs = 365.25 * 86_400_000
  return found.map(({ at, ...rest }) => ({
    ...rest,
    // One whose readings fit no soil counts for less than any that do.
    share: Math.max(
      0.01,
      0.5 ** ((found[0]!.at - at) / yearMs / HALF_LIFE_YEARS) / (1 + (rest.fit.misfit / POOR_FIT) ** 2),
    ),
  }))
}

function strongestCamp(usable: readonly Usable[]): Usable[] {
  let best: Usable[] = []
  for (const one of usable) {
    const camp = usable.filter((other) => other === one || agree(one, other))
    // In newest-first order an equal weight keeps the newer one.
    if (weightOf(camp) > weightOf(best) + 1e-12) best = camp
  }
  return best
}

/** Do the readings of one lie where the other's soil would put them, in the mean of logarithms, either way round? */
function agree(one: Usable, other: Usable): boolean {
  return Math.abs(offset(one, other)) < AGREE_LN && Math.abs(offset(other, one)) < AGREE_LN
}

function offset(model: Usable, data: Usable): number {
  const differences = data.points.map(({ spacingM, apparentOhmM }) =>
    Math.log(apparentOhmM / (apparentOf(model.fit.soil, spacingM) ?? Number.NaN)),
  )
  return differences.reduce((sum, value) => sum + value, 0) / differences.length
}

const weightOf = (camp: readonly Usable[]): number => camp.reduce((sum, { share }) => sum + share, 0)

const shareAgainst = (all: readonly Usable[], camp: readonly Usable[]): number =>
  1 - weightOf(camp) / weightOf(all)
