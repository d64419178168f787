import type { Outlook } from './explanations.ts'
import type { PastStory } from './histories.ts'
import type { ShapeLikelihoods } from './shape.ts'
import type { Entry } from './visits.ts'

/** A test judged with its visit, not yet remembered. */
export interface Verdict {
  entry: Entry
  stories: PastStory[]
  outlooks: Outlook[]
  shape: ShapeLikelihoods
  posterior: number[]
  /** The part of it that is the step still to be settled. */
  pendingStep: number
  expected: number
  sd: number
  peers: number
  /** The common mode that explains the reading best, with its variance. */
  g: number
  gVar: number
  q: number
  hasEarlier: boolean
  /** The earlier test whose very readings these are; null when none. */
  repeats: string | null
  mixedUpWith: string | null
}
