import { sendCompare, sendCompareOfMarks } from '../../shared-lib/ledger/compare-message.ts'
import type { HandInDesk } from '../../shared-lib/ledger/hand-in.ts'
import type { Upload } from '../../shared-lib/ledger/kept/upload.ts'
import type { Ledger } from '../../shared-lib/ledger/ledger.ts'
import type { Clock } from '../../shared-lib/ports/clock.ts'
import type { Log } from '../../shared-lib/ports/handle-batch.ts'
import type { Queue } from '../../shared-lib/ports/queue.ts'

export interface UpkeepDeps {
  ledger: Ledger
  desk: HandInDesk
  intakeQueue: Queue
  compareQueue: Queue
  notifyQueue: Queue
  clock: Clock
  newId(): string
  log: Log
  settings: {
    /** A mark, upload or untold entry older than this has lost its message, s. Start-up passes 0. */
    staleAfterS: number
  }
}

export interface UpkeepReport {
  marks: number
  uploads: number
  recipients: number
  released: number
}

const OVERLAP_MS = 120_000

/** upkeep, the sweep: whatever was written but whose message was lost in a crash is sent again. Repeating it changes nothing. */
export function createUpkeep(deps: UpkeepDeps): () => Promise<UpkeepReport> {
  const { ledger, clock } = deps
  const stale = (sinceMs: number) => clock.nowMs() - sinceMs >= deps.settings.staleAfterS * 1000

  async function sweepMarks(): Promise<number> {
    const marks = (await ledger.listMarks()).filter((m) => stale(Date.parse(m.markedAt)))
    await sendCompareOfMarks(deps.compareQueue, marks)
    return marks.length
  }

  /**
   * Surveys handed in singly that nobody has compared. Looked at from where the last sweep ended, and a little further back: the time
   * a survey carries is that of its hand-in, and its write came a moment later.
   */
  async function sweepRecent(): Promise<number> {
    const toMs = clock.nowMs() - deps.settings.staleAfterS * 1000
    const checked = Date.parse(await ledger.recentCheckedTo())
    const from = new Date(Math.min(checked, toMs) - OVERLAP_MS).toISOString()
    const recent = await ledger.recentSurveys(from, new Date(toMs + 1).toISOString())
    const compared = await ledger.compared(recent)
    const lost = recent.filter((_, i) => !compared[i])
    await sendCompare(
      deps.compareQueue,
      lost.map((s) => ({ ...s, stamp: deps.newId() })),
    )
    await ledger.setRecentCheckedTo(lost.map((s) => s.receivedAt).sort()[0] ?? new Date(toMs).toISOString())
    return lost.length
  }

  async function sweepUploads(): Promise<number> {
    const lost = (u: Upload) => u.state === 'received' && stale(Date.parse(u.receivedAt))
    const { items } = await ledger.listUploads({ limit: 100 })
    const again = items.filter(lost)
    await deps.intakeQueue.send(again.map((u) => ({ body: { uploadId: u.id } })))
    return again.length
  }

  async function sweepUntold(): Promise<number> {
    let told = 0
    for (const recipient of await ledger.listRecipientsWithUntold()) {
      const waiting = await ledger.listUntold(recipient)
      if (!waiting.some((u) => stale(u.queuedAtMs))) continue
      await deps.notifyQueue.send([{ body: { recipient } }])
      told++
    }
    return told
  }

  /** Held surveys whose electrode has been registered meanwhile. */
  async function sweepHeld(): Promise<number> {
    let released = 0
    let cursor: string | undefined
    do {
      const page = await ledger.listHeld({ limit: 100, ...(cursor ? { cursor } : {}) })
      const ids = [...new Set(page.items.map((h) => h.electrodeId))]
      const known = await ledger.getElectrodes(ids)
      for (const id of known.keys()) released += await deps.desk.releaseHeld(id)
      cursor = page.next ?? undefined
    } while (cursor)
    return released
  }

  return async () => {
    const upgraded = await ledger.upgrade({
      stamp: deps.newId(),
      nowIso: new Date(clock.nowMs()).toISOString(),
    })
    if (upgraded > 0) deps.log({ level: 'info', message: 'schema upgraded', electrodes: upgraded })
    const report = {
      marks: (await sweepMarks()) + (await sweepRecent()),
      uploads: await sweepUploads(),
      recipients: await sweepUntold(),
      released: await sweepHeld(),
    }
    deps.log({ level: 'info', message: 'swept', ...report })
    return report
  }
}
