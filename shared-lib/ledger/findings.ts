import type { Decision } from '../history/assessment.ts'
import { electrodeOfFinding } from './finding-id.ts'
import { applyRuling, findingOf, putClaim } from './finding-rows.ts'
import { rulingDecision } from './finding-state.ts'
import type { FindingItem, FindingState } from './kept/finding.ts'
import {
  allShards,
  decisionKey,
  decisionsPrefix,
  electrodePk,
  findingKey,
  findingSortKey,
  findingsPk,
  PREFIX,
  SHARDS,
  siteFindingsPk,
} from './keys.ts'
import type { Ledger } from './ledger.ts'
import { compareBytes, memoryPage, mergedPage } from './merged-page.ts'
import { keyText, type Row, row } from './rows.ts'
import { INDEX } from './table.ts'
import type { TableAccess } from './table-access.ts'

type FindingsArea = Pick<
  Ledger,
  'listFindings' | 'getFinding' | 'getFindings' | 'addDecision' | 'claimFinding'
>
type FindingsQuestion = Parameters<Ledger['listFindings']>[0]

/** The review queue: urgent before warning, then what has been open longest. */
export function findingsArea(table: TableAccess): FindingsArea {
  async function getFinding(id: string): Promise<FindingItem | null> {
    const electrodeId = electrodeOfFinding(id)
    const stored = electrodeId === null ? null : await table.get(findingKey(electrodeId, id))
    return stored && findingOf(stored)
  }

  /** An electrode's findings are few: they are read strongly and put in order here. */
  async function listOfElectrode(q: FindingsQuestion, electrodeId: string, states: FindingState[]) {
    const rows = await table.queryAll({ partition: electrodePk(electrodeId), prefix: PREFIX.finding })
    const sorted = rows
      .map(findingOf)
      .filter((f) => states.includes(f.state) && (q.siteId === undefined || f.siteId === q.siteId))
      .sort((a, b) => compareBytes(findingSortKey(a), findingSortKey(b)))
    return memoryPage(q, `findings ${states.join()} of electrode ${electrodeId}`, sorted, findingSortKey)
  }

  return {
    getFinding,

    async getFindings(ids) {
      const keys = ids.flatMap((id) => {
        const electrodeId = electrodeOfFinding(id)
        return electrodeId === null ? [] : [findingKey(electrodeId, id)]
      })
      return new Map([...(await table.getMany(keys)).values()].map(findingOf).map((f) => [f.id, f] as const))
    },

    async listFindings(q) {
      const asked = q.state ?? 'open'
      const states: FindingState[] = asked === 'all' ? ['open', 'closed'] : [asked]
      if (q.electrodeId !== undefined) return listOfElectrode(q, q.electrodeId, states)
      const { siteId } = q
      const ofSite = siteId !== undefined
      const placed = ofSite ? (['op', 'os'] as const) : (['lp', 'ls'] as const)
      return mergedPage(table, q, {
        list: ofSite ? `findings ${states.join()} of site ${siteId}` : `findings ${states.join()}`,
        index: ofSite ? INDEX.owner : INDEX.listing,
        partitions: states.flatMap((state) =>
          ofSite
            ? [siteFindingsPk(state, siteId)]
            : allShards(SHARDS.findings).map((shard) => findingsPk(state, shard)),
        ),
        async resolve(rows) {
          const found = await table.getMany(rows)
          // An index row may be a moment behind its item: one that no longer says the same place is left out.
          const inPlace = (r: Row, stored: Row) => placed.every((name) => stored[name] === r[name])
          return rows.map((r) => {
            const stored = found.get(keyText(r))
            return stored && inPlace(r, stored) ? findingOf(stored) : null
          })
        },
      })
    },

    async claimFinding(findingId, by, claim, nowMs) {
      const electrodeId = electrodeOfFinding(findingId)
      return electrodeId !== null && putClaim(table, { electrodeId, id: findingId }, by, claim, nowMs)
    },

    async addDecision(decision) {
      const finding = await getFinding(decision.findingId)
      if (!finding) return null
      const { electrodeId, id } = finding
      // The event first: it is what counts. Everything after it may be repeated, also by writeAssessment.
      await table.putNew(row(decisionKey(electrodeId, id, decision.decisionId), { d: decision }))
      const rows = await table.queryAll({ partition: electrodePk(electrodeId), prefix: decisionsPrefix(id) })
      const ruling = rulingDecision(rows.map((r) => r.d as Decision))
      if (ruling) await applyRuling(table, finding, ruling)
      return getFinding(id)
    },
  }
}
