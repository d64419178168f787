import { sendCompare } from '../../shared-lib/ledger/compare-message.ts'
import type { HandInDesk } from '../../shared-lib/ledger/hand-in.ts'
import type { Ledger, Upload } from '../../shared-lib/ledger/ledger.ts'
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

/** upkeep, the sweep: whatever was written but whose message was lost in a crash is sent again. Repeating it changes nothing. */
export function createUpkeep(deps: UpkeepDeps): () => Promise<UpkeepReport> {
  const { ledger, clock } = deps
  const stale = (sinceMs: number) => clock.nowMs() - sinceMs >= deps.settings.staleAfterS * 1000

  async function sweepMarks(): Promise<number> {
    const marks = (await ledger.listMarks()).filter((m) => stale(Date.parse(m.markedAt)))
    await sendCompare(ledger, deps.compareQueue, marks)
    return marks.length
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
    const report = {
      marks: await sweepMarks(),
      uploads: await sweepUploads(),
      recipients: await sweepUntold(),
      released: await sweepHeld(),
    }
    deps.log({ level: 'info', message: 'swept', ...report })
    return report
  }
}
