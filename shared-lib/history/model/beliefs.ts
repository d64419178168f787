import type { FindingCode } from '../../survey/finding.ts'

/**
 * What the model believes before it has seen an electrode: noise, season, shape, how often things go wrong.
 * Variances and standard deviations are of ln R; rates are a survey or a year. All are beliefs, learnt or to be learnt.
 */
export interface Beliefs {
  /** Noise between surveys of one electrode. */
  noiseSd: number
  /** Noise of one reading against its neighbours on the sheet. */
  readingSd: number
  /** Mean of the yearly season (cosine and sine of the day of the year from 1 January) and its spread between sites. */
  seasonCos: number
  seasonSin: number
  seasonSd: number
  /** How far a site's first visits may stand from its usual level (a site first tested in a drought). */
  siteLevelSd: number
  /** Spread of the half-yearly part. */
  halfYearSd: number
  /** Weather: departure of a site from its own season, and how many days it lasts. */
  weatherSd: number
  weatherDays: number
  /** ln of the curve's steepness over what the electrode's formula predicts: mean and spread between electrodes. */
  shapeOffset: number
  shapeVar: number
  /** How differently electrodes follow the site: strength and delay, and their correlation. */
  loadingVar: number
  lagVar: number
  loadingLagCorrelation: number
  /** How far an electrode may depart from its own way of following the site outside what it has met, a unit of ln. */
  strangeSd: number
  /** Shape of the inverse gamma prior of an electrode's own noise. */
  noiseShape: number
  /** Slow harmless wander, variance a year. */
  wanderVar: number
  /** Spread of electrodes around formula and soil; of the soil where nothing is known (median 100 ohm-m). */
  geometrySd: number
  soilSd: number
  rateDecimal: number
  rateUnit: number
  rateRepeated: number
  rateWrongElectrode: number
  rateTooClose: number
  rateOutOfOrder: number
  rateFallOnce: number
  /** A year. */
  rateRise: number
  rateFall: number
  rateCorrosion: number
  /**
   * Sites that go up as a whole, a year. Far more than anyone has seen: the regression behind it is cautious, and at this rate it
   * named 0.0 to 0.2 false sites per 100 visits of simulated fleets.
   */
  rateSiteDrift: number
  /** Prior sd of a past step, and of the ramp's curvature a year². */
  stepSd: number
  rampSd: number
  /** Share of lone tests that meet a drought or frost no one else shows, its size and spread. */
  droughtShare: number
  droughtLn: number
  droughtSd: number
  /** Chance that something is true and new, above which a finding is raised. */
  threshold: number
  /** The same for the first test of an electrode whose soil is known, where nothing but slips, shape and mixed-up sheets can be told. */
  firstThreshold: number
  /** What decisions have taught instead of the two, by code. */
  thresholds?: Readonly<Partial<Record<FindingCode, number>>>
  /** From here on to the threshold a rise or fall is shown as a notice. */
  hintThreshold: number
}

/** For a new operator. Tried on simulated fleets of several kinds; no published source. */
export const DEFAULT_BELIEFS: Beliefs = {
  noiseSd: 0.055,
  readingSd: 0.0103,
  seasonCos: 0,
  seasonSin: 0,
  seasonSd: 0.15,
  siteLevelSd: 0.12,
  halfYearSd: 0.05,
  weatherSd: 0.097,
  weatherDays: 40,
  shapeOffset: 0.059,
  shapeVar: 0.1,
  loadingVar: 0.06,
  lagVar: 0.06,
  loadingLagCorrelation: 0.6,
  strangeSd: 0.05,
  noiseShape: 4,
  wanderVar: 4e-4,
  geometrySd: 0.33,
  soilSd: 0.8,
  rateDecimal: 0.0045,
  rateUnit: 0.002,
  rateRepeated: 0.005,
  rateWrongElectrode: 0.005,
  rateTooClose: 0.0075,
  rateOutOfOrder: 0.003,
  rateFallOnce: 0.004,
  rateRise: 0.008,
  rateFall: 0.008,
  rateCorrosion: 0.014,
  rateSiteDrift: 0.1,
  stepSd: 0.7,
  rampSd: 0.06,
  droughtShare: 0.03,
  droughtLn: 0.45,
  droughtSd: 0.2,
  threshold: 0.43,
  firstThreshold: 0.3,
  hintThreshold: 0.35,
}
