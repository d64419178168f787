import type { Parameters } from './assessment.ts'

/**
 * Beliefs of a new operator, before its own surveys have taught better ones: 5.5 % noise between surveys of one electrode
 * and a season of ±25 %. From simulated fleets and common practice, no published source.
 */
export const defaultParameters: Parameters = { version: 'default-2', noiseLn: 0.055, seasonLn: 0.25 }
