import * as z from 'zod'
import type { Parameters, PeerTest } from '../../shared-lib/history/assessment.ts'
import { judgeFile } from '../../shared-lib/ledger/judge-file.ts'
import type { FindingItem, Ledger, Untold } from '../../shared-lib/ledger/ledger.ts'
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

/** compare: an electrode with news -> its whole file judged anew -> assessment, findings, and who is to be told. */
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

  async function compare(electrodeId: string): Promise<void> {
    const mark = await ledger.getMark(electrodeId)
    // No mark: an earlier message of a burst has already done this one's work.
    if (!mark) return
    const file = await ledger.readElectrodeFile(electrodeId)
    if (file) await judge(file)
    await ledger.clearMark(electrodeId, mark.stamp)
  }

  async function judge(file: NonNullable<Awaited<ReturnType<Ledger['readElectrodeFile']>>>): Promise<void> {
    const { electrode } = file.record
    const instruments = new Set(file.surveys.flatMap((s) => s.survey.instrumentId ?? []))
    const calibrations = (await Promise.all([...instruments].map((id) => ledger.getCalibrations(id)))).flat()
    const peers: PeerTest[] = []
    const judged = judgeFile(file, calibrations, peers, deps.parameters)
    const news = judged.news.map(untold)
    // Told-lists before the findings: a crash between the two repeats this whole step, and nothing is forgotten.
    if (news.length > 0) await ledger.addUntold(news)
    await ledger.writeAssessment(electrode.electrodeId, judged)
    await tell(news)
    deps.log({
      level: 'info',
      message: 'compared',
      surveys: file.surveys.length,
      rejudged: judged.rejudged.length,
      news: news.length,
    })
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
