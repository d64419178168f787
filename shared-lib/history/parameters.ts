import type { Parameters } from './assessment.ts'
import { type Beliefs, DEFAULT_BELIEFS } from './model/beliefs.ts'

/**
 * Beliefs of a new operator, before its own surveys have taught better ones: 5.5 % noise between surveys of one electrode
 * and a season of ±25 %. From simulated fleets and common practice, no published source.
 */
export const defaultParameters: Parameters = { version: 'default-5', noiseLn: 0.055, seasonLn: 0.25 }

/** The model's beliefs under these parameters: its defaults, the two plain numbers, then whatever was learnt. */
export function beliefsOf(parameters: Parameters): Beliefs {
  const { noiseLn, seasonLn, beliefs, thresholds } = parameters
  return {
    ...DEFAULT_BELIEFS,
    noiseSd: noiseLn,
    seasonSd: DEFAULT_BELIEFS.seasonSd * (seasonLn / defaultParameters.seasonLn),
    ...beliefs,
    ...(thresholds ? { thresholds } : {}),
  }
}
