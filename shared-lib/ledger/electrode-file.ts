import type { Assessment, Decision } from '../history/assessment.ts'
import type { Limit, Work } from '../survey/register.ts'
import { electrodeOfFinding } from './finding-id.ts'
import { applyRuling, findingOf, newFindingRow, putFinding } from './finding-rows.ts'
import { rulingDecision, stateAfter } from './finding-state.ts'
import type { FindingItem } from './kept/finding.ts'
import {
  assessmentKey,
  electrodePk,
  findingKey,
  findingSortKey,
  historyKey,
  INSTRUMENT_FINDINGS_KEY,
  PREFIX,
  registerKey,
} from './keys.ts'
import type { Ledger } from './ledger.ts'
import { compareBytes } from './merged-page.ts'
import { inParallel } from './parallel.ts'
import { recordOf, withDates } from './register.ts'
import { row } from './rows.ts'
import { historyOf } from './site-history.ts'
import { historyTextOf, putHistory } from './sites.ts'
import { squeezed, unsqueezed } from './squeeze.ts'
import { surveyRow, surveysInOrder } from './surveys.ts'
import type { TableAccess } from './table-access.ts'

const WRITES_AT_ONCE = 8

/** Findings against prior tests with those about the instrument, which are kept in the review queue only. */
function withInstruments(
  found: Assessment['findings'],
  items: readonly FindingItem[],
): Assessment['findings'] {
  const all = { ...found }
  for (const item of items.filter((f) => f.code === 'instrument-bias')) {
    const { code, severity, probability, message, advice, evidence, surveyRef } = item
    const finding = { code, severity, probability, message, advice, evidence }
    all[surveyRef] = [...(all[surveyRef] ?? []), finding]
  }
  return all
}

/** One electrode's partition: read as a whole for a comparison, and what the comparison changes written back. */
export function electrodeFileArea(
  table: TableAccess,
): Pick<
  Ledger,
  'readElectrodeFile' | 'writeAssessment' | 'putFindings' | 'getInstrumentFindings' | 'putInstrumentFindings'
> {
  /**
   * A decision made while compare was at work is not in what compare has just written. The decisions are read after that write, so
   * whichever came first, the newest decision rules in the end.
   */
  async function keepDecisions(electrodeId: string, findings: readonly FindingItem[]): Promise<void> {
    if (findings.length === 0) return
    const rows = await table.queryAll({ partition: electrodePk(electrodeId), prefix: PREFIX.decision })
    const byFinding = Map.groupBy(
      rows.map((r) => r.d as Decision),
      (d) => d.findingId,
    )
    for (const finding of findings) {
      const about = byFinding.get(finding.id) ?? []
      const ruling = rulingDecision(about)
      const state = stateAfter(about)
      const decidedBefore = finding.closedBy !== undefined && 'decision' in finding.closedBy
      const missed =
        state === 'closed' ? finding.state === 'open' : finding.state === 'closed' && decidedBefore
      if (ruling && missed) await applyRuling(table, finding, ruling)
    }
  }

  return {
    async readElectrodeFile(electrodeId) {
      const rows = await table.queryAll({ partition: electrodePk(electrodeId) })
      const register = rows.find((r) => r.sk === registerKey(electrodeId).sk)
      if (!register) return null
      const key = historyKey(String(register.siteId), electrodeId)
      const stored = await table.get(key)
      const history = stored && historyOf(historyTextOf(stored))
      const under = (prefix: string) => rows.filter((r) => r.sk.startsWith(prefix))
      const findings = under(PREFIX.finding)
        .map(findingOf)
        .sort((a, b) => compareBytes(findingSortKey(a), findingSortKey(b)))
      const stood = rows.find((r) => r.sk === assessmentKey(electrodeId).sk)?.d as Assessment | undefined
      return {
        record: withDates(recordOf(register), stored ?? undefined),
        rev: Number(register.rev),
        compared: new Set(history?.tests.map((t) => t.test.surveyRef)),
        limits: under(PREFIX.limit).map((r) => r.d as Limit),
        works: under(PREFIX.work).map((r) => r.d as Work),
        surveys: surveysInOrder(under(PREFIX.survey)),
        findings,
        decisions: under(PREFIX.decision)
          .map((r) => r.d as Decision)
          .sort((a, b) => a.decidedAtMs - b.decidedAtMs || (a.decisionId < b.decisionId ? -1 : 1)),
        assessment: history && {
          findings: withInstruments(stood?.findings ?? {}, findings),
          series: history.series,
          parametersVersion: history.parametersVersion,
        },
        storedFindings: stood?.findings ?? null,
      }
    },

    async putFindings(items, removeIds) {
      await inParallel(items, WRITES_AT_ONCE, (f) => putFinding(table, f))
      for (const [electrodeId, own] of Map.groupBy(items, (f) => f.electrodeId))
        await keepDecisions(electrodeId, own)
      const keys = removeIds.flatMap((id) => {
        const electrodeId = electrodeOfFinding(id)
        return electrodeId === null ? [] : [findingKey(electrodeId, id)]
      })
      await table.writeMany([], keys)
    },
    async getInstrumentFindings() {
      const stored = await table.get(INSTRUMENT_FINDINGS_KEY)
      return stored ? (JSON.parse(unsqueezed(stored.z as Uint8Array)) as Record<string, string>) : {}
    },
    async putInstrumentFindings(digests) {
      await table.put(row(INSTRUMENT_FINDINGS_KEY, { z: squeezed(JSON.stringify(digests)) }))
    },

    async writeAssessment(electrodeId, change) {
      const { newFindings, putFindings, assessment, history, seen } = change
      const stands = assessment && Object.keys(assessment.findings).length > 0
      const key = assessmentKey(electrodeId)
      await table.writeMany(
        [
          ...change.rejudged.map(surveyRow),
          ...newFindings.map(newFindingRow),
          ...(stands ? [row(key, { d: { findings: assessment.findings } })] : []),
        ],
        [
          ...change.removeFindings.map((id) => findingKey(electrodeId, id)),
          ...(assessment && !stands ? [key] : []),
        ],
      )
      await inParallel(putFindings, WRITES_AT_ONCE, (f) => putFinding(table, f))
      await keepDecisions(electrodeId, [...newFindings, ...putFindings])
      // Last: a history that names a survey says that all about it has been written.
      return putHistory(table, history, seen)
    },
  }
}
