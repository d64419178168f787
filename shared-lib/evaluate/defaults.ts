/**
 * The thresholds of the judgement, in one place. Common practice where no source is named; an operator may set his own.
 * A change of any of them is a new JUDGE_VERSION.
 */
export const JUDGE_VERSION = '5'

export const DEFAULTS = {
  /** Spread of the readings at 52 to 72 %, less two digits: fair, doubtful above, invalid above, %. */
  spreadFairPercent: 5,
  spreadDoubtfulPercent: 10,
  spreadInvalidPercent: 20,
  /** Current probe, times the electrode's size: advised, looked at below, doubtful below, invalid below. */
  probeAdvised: 8,
  probeUnchecked: 5,
  /** The expanded uncertainty from which a probe nearer than `probeUnchecked` makes a short survey doubtful, %. */
  probeDoubtPercent: 15,
  probeDoubtful: 3,
  /** Nearer than this somebody is told; from here on the price stands in the uncertainty, and the crew sees the doubt. */
  probeWarned: 2.25,
  probeInvalid: 1.5,
  /** A fall along the line, % of the mean: let pass, repeat those two, doubtful above. */
  fallPassPercent: 3,
  fallDoubtfulPercent: 6,
  /** The same where the readings wobble so much that a fall of 6 % is nothing: doubtful above this, %. */
  fallNeverPassPercent: 8.5,
  /** A correction for the recorded angle above this makes the result doubtful where the curve itself cannot confirm it, %. */
  angleCorrectionDoubtfulPercent: 5,
  /**
   * Belief in a slip (a wrong reading, two exchanged ones) and in an unrecorded angle from which a survey is doubted: repeating two readings
   * costs less than believing a wrong value, and an angle always reads low.
   */
  slipFrom: 0.33,
  angleFrom: 0.2,
  /** Belief in an unrecorded angle from which somebody besides the crew is told. */
  angleWarnedFrom: 0.5,
  /** IEC 61557-5 (from memory): at most 50 kohm or 100 times the earth's resistance for each auxiliary stake; 3 V interference. */
  auxiliaryMaxOhm: 50_000,
  auxiliaryTimesEarth: 100,
  interferenceMaxV: 3,
  interferenceNoticeV: 1,
  /** An instrument whose accuracy nobody recorded. */
  unknownAccuracyPercent: 5,
  unknownAccuracyDigits: 3,
  /** Below this the leads and their layout count, ohm. */
  leadEffectBelowOhm: 1,
  /** Standard uncertainty of a lead or a known earth that is taken off the reading, as a share of it. */
  takenOffShare: 0.05,
  /** Fewer digits of the display than this make the number itself doubtful. */
  resolutionDigits: 20,
} as const
