import type { StandingCounts } from '../../../../shared-lib/ledger/standing.ts'
import { type Html, html } from './html.ts'

/** What is counted, in the order it is told: worst that needs a hand is named, nothing is hidden in a sum. */
export const STANDING_WORDS: readonly [keyof StandingCounts, string][] = [
  ['conforming', 'conforming'],
  ['nonconforming', 'nonconforming'],
  ['inconclusive', 'inconclusive'],
  ['not-assessed', 'without a limit'],
  ['no-value', 'tested, no value'],
  ['never-tested', 'never tested'],
  ['overdue', 'overdue'],
]

/** How many electrodes stand in which way, of a site or of the fleet. */
export function standingTiles(counts: StandingCounts): Html {
  return html`<ul class="tiles facts-only">${STANDING_WORDS.map(([key, words]) => html`<li><span class="big">${counts[key]}</span><span class="aside">${words}</span></li>`)}</ul>`
}
