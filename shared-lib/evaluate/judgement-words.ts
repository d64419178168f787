import type { Conformity, Validity } from './evaluation.ts'

/** The judgement's words as a person reads them, wherever that is. */
export const VALIDITY_WORDS: Record<Validity, string> = {
  valid: 'Valid',
  doubtful: 'Doubtful',
  invalid: 'Not valid',
}

export const CONFORMITY_WORDS: Record<Conformity, string> = {
  conforming: 'Conforming',
  nonconforming: 'Nonconforming',
  inconclusive: 'Inconclusive',
  'not-assessed': 'Not assessed',
}
