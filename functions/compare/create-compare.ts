import * as z from 'zod'
import type { Parameters } from '../../shared-lib/history/assessment.ts'
import { judgeSite } from '../../shared-lib/ledger/judge-site.ts'
import type { DueMark, ElectrodeFile, FindingItem, Ledger, Untold } from '../../shared-lib/ledger/ledger.ts'
import type { Clock } from '../../shared-lib/ports/clock.ts'
import { handleBatch, type Log } from '../../shared-lib/ports/handle-batch.ts'
import type { Queue, QueueHandler } from '../../shared-lib/ports/queue.ts'

export interface CompareDeps {
  ledger: Ledger
  /** Message body `{ recipient }`. */
  notifyQueue: Queue
  clock: Clock
  parameters: Parameters
  log: Log
  settings: {
    /** Who is told where the register names no responsible engineer. */
    fallbackEmail: string
    /** How long news waits for more before it is told, s. Urgent news does not wait. */
    mailHoldS: number
    /** A survey handed in later than this after its test is old news and goes to a digest, days. */
    oldAfterDays: number
  }
}

const message = z.object({ electrodeId: z.string(), stamp: z.string() })
const DAY_MS = 86_400_000

/**
 * compare: an electrode with news -> the files of its site judged anew -> assessments, findings, and who is to be told. All marks of
 * the site that were there before are answered by one comparison.
 */
export function createCompare(deps: CompareDeps): QueueHandler {
  const { ledger, clock, settings } = deps

  function untold(finding: FindingItem): Untold {
    const late = Date.parse(finding.openedAt) - Date.parse(finding.testedAt)
    const urgent = finding.severity === 'urgent'
    return {
      recipient: finding.responsibleEmail ?? settings.fallbackEmail,
      findingId: finding.id,
      electrodeId: finding.electrodeId,
      urgent,
      old: !urgent && late > settings.oldAfterDays * DAY_MS,
      queuedAtMs: clock.nowMs(),
    }
  }

  /** The electrodes judged together with this one: all of its site, or itself alone while it is not registered. */
  async function neighbours(electrodeId: string): Promise<string[]> {
    const record = await ledger.getElectrode(electrodeId)
    if (!record) return [electrodeId]
    const ids: string[] = []
    let cursor: string | undefined
    do {
      const { siteId } = record.electrode
      const page = await ledger.listElectrodes({ siteId, limit: 200, ...(cursor ? { cursor } : {}) })
      ids.push(...page.items.map((r) => r.electrode.electrodeId))
      cursor = page.next ?? undefined
    } while (cursor)
    // The index may lag behind a registration of this moment.
    return ids.includes(electrodeId) ? ids : [...ids, electrodeId]
  }

  async function compare(electrodeId: string): Promise<void> {
    // No mark: an earlier message of a burst has already done this one's work.
    if (!(await ledger.getMark(electrodeId))) return
    const ids = await neighbours(electrodeId)
    // Marks first, files after: what comes in between leaves a newer stamp, which is not cleared.
    const marks: DueMark[] = await ledger.getMarks(ids)
    const files = (await Promise.all(ids.map((id) => ledger.readElectrodeFile(id)))).filter((f) => f !== null)
    if (files.length > 0) await judge(files)
    for (const mark of marks) await ledger.clearMark(mark.electrodeId, mark.stamp)
  }

  async function judge(files: ElectrodeFile[]): Promise<void> {
    const instruments = new Set(files.flatMap((f) => f.surveys.flatMap((s) => s.survey.instrumentId ?? [])))
    const calibrations = (await Promise.all([...instruments].map((id) => ledger.getCalibrations(id)))).flat()
    const judgements = judgeSite(files, calibrations, deps.parameters)
    let changed = 0
    for (const [i, judgement] of judgements.entries()) {
      if (!judgement.changed) continue
      changed++
      const news = judgement.news.map(untold)
      // Told-lists before the findings: a crash between the two repeats this whole step, and nothing is forgotten.
      if (news.length > 0) await ledger.addUntold(news)
      await ledger.writeAssessment(files[i]!.record.electrode.electrodeId, judgement)
      await tell(news)
    }
    deps.log({ level: 'info', message: 'compared', electrodes: files.length, changed })
  }

  async function tell(news: Untold[]): Promise<void> {
    const recipients = Map.groupBy(news, (n) => n.recipient)
    for (const [recipient, list] of recipients) {
      const delayS = list.some((n) => n.urgent) ? 0 : settings.mailHoldS
      await deps.notifyQueue.send([{ body: { recipient }, delayS }])
      // The urgent ones go now; the others of the same electrode still wait for their company.
      if (delayS === 0 && list.some((n) => !n.urgent))
        await deps.notifyQueue.send([{ body: { recipient }, delayS: settings.mailHoldS }])
    }
  }

  return (event) => handleBatch(event, async (body) => compare(message.parse(body).electrodeId), deps.log)
}
