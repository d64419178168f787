import type { FindingItem } from '../../../../shared-lib/ledger/kept/finding.ts'
import { versionOf } from '../../finding-version.ts'

/** One thing to look at: a survey with the findings about it, the worst first. */
export interface QueueRow {
  lead: FindingItem
  also: FindingItem[]
}

/** Findings of one survey stand in one row, at the place of the worst; the order of the list stays. */
export function queueRows(items: readonly FindingItem[]): QueueRow[] {
  const bySurvey = Map.groupBy(items, (f) => JSON.stringify([f.electrodeId, f.surveyRef]))
  return [...bySurvey.values()].map(([lead, ...also]) => ({ lead: lead!, also }))
}

/** Findings named in a form with the version that was shown: `id~version`, several parted by a space. */
export const nameFindings = (findings: readonly FindingItem[]): string =>
  findings.map((f) => `${f.id}~${versionOf(f)}`).join(' ')

/** Reads what `nameFindings` wrote; a name without a version is taken without one. */
export function namedFindings(text: string): { id: string; seen?: string }[] {
  return text
    .split(' ')
    .filter((name) => name !== '')
    .map((name) => {
      const cut = name.indexOf('~')
      return cut < 0 ? { id: name } : { id: name.slice(0, cut), seen: name.slice(cut + 1) }
    })
}
