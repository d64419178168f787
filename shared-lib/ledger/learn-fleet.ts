import { assessSite } from '../history/assess-site.ts'
import type { Parameters, SiteAssessmentInput } from '../history/assessment.ts'
import { diffAssessments, type FindingChange } from '../history/learn/diff-assessments.ts'
import { learnParameters, type SiteHistory } from '../history/learn/learn-parameters.ts'
import { everySite } from './every-site.ts'
import type { LearntVersion } from './kept/learnt.ts'
import type { SiteFile } from './kept/site.ts'
import type { Ledger } from './ledger.ts'

/** Named changes kept with a version; all are counted. */
const NAMED = 200

export function siteInput(site: SiteFile): SiteHistory {
  return {
    electrodes: [...site.histories.values()].map(({ history }) => ({
      electrode: history.electrode,
      tests: history.tests.map((t) => t.test),
      works: history.works,
      decisions: history.decisions,
    })),
    calibrations: Object.values(site.header?.calibrations ?? {}).flat(),
  }
}

async function* histories(ledger: Pick<Ledger, 'listSites' | 'readSite'>): AsyncGenerator<SiteHistory> {
  for await (const site of everySite(ledger)) yield siteInput(site)
}

/**
 * Learns the operator's parameters from the stored fleet and works out what adopting them would change. One site at a time. Null when
 * they are those in force, or have been learnt before. Nothing is judged by them yet.
 */
export async function learnFleet(
  ledger: Pick<Ledger, 'listSites' | 'readSite' | 'putLearnt' | 'listLearnt'>,
  inForce: Parameters,
  nowIso: string,
): Promise<LearntVersion | null> {
  const parameters = await learnParameters(histories(ledger))
  const known = (await ledger.listLearnt()).map((l) => l.parameters.version)
  if (parameters.version === inForce.version || known.includes(parameters.version)) return null
  const counts: LearntVersion['counts'] = { added: 0, removed: 0, graver: 0, milder: 0, chance: 0 }
  const changes: FindingChange[] = []
  const judged = (input: Omit<SiteAssessmentInput, 'parameters'>, by: Parameters) =>
    assessSite({ ...input, parameters: by })
  for await (const site of histories(ledger))
    for (const change of diffAssessments(judged(site, inForce), judged(site, parameters))) {
      counts[change.change]++
      if (changes.length < NAMED) changes.push(change)
    }
  const learnt = { parameters, learntAt: nowIso, counts, changes }
  await ledger.putLearnt(learnt)
  return learnt
}
