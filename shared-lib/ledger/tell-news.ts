import type { Clock } from '../ports/clock.ts'
import type { Queue } from '../ports/queue.ts'
import type { FindingItem } from './kept/finding.ts'
import type { Untold } from './kept/telling.ts'
import type { Ledger } from './ledger.ts'

export interface TellingDeps {
  ledger: Pick<Ledger, 'addUntold'>
  /** Message body `{ recipient }`. */
  notifyQueue: Queue
  clock: Clock
  settings: {
    /** Who is told where the register names no responsible engineer. */
    fallbackEmail: string
    /** How long news waits for more before it is told, s. Urgent news does not wait. */
    mailHoldS: number
    /** A survey handed in later than this after its test is old news and goes to a digest, days. */
    oldAfterDays: number
  }
}

/** The two halves of telling: remembered before the findings are written, sent after, so that a crash in between forgets nothing. */
export interface Telling {
  beforeNews(news: FindingItem[]): Promise<void>
  afterNews(news: FindingItem[]): Promise<void>
}

const DAY_MS = 86_400_000

export function createTelling({ ledger, notifyQueue, clock, settings }: TellingDeps): Telling {
  function untold(finding: FindingItem): Untold {
    const late = Date.parse(finding.openedAt) - Date.parse(finding.testedAt)
    const urgent = finding.severity === 'urgent'
    return {
      recipient: finding.responsibleEmail ?? settings.fallbackEmail,
      findingId: finding.id,
      electrodeId: finding.electrodeId,
      siteId: finding.siteId,
      urgent,
      old: !urgent && late > settings.oldAfterDays * DAY_MS,
      queuedAtMs: clock.nowMs(),
    }
  }
  return {
    async beforeNews(news) {
      await ledger.addUntold(news.map(untold))
    },
    async afterNews(news) {
      const recipients = Map.groupBy(news.map(untold), (n) => n.recipient)
      for (const [recipient, list] of recipients) {
        const delayS = list.some((n) => n.urgent) ? 0 : settings.mailHoldS
        await notifyQueue.send([{ body: { recipient }, delayS }])
        // The urgent ones go now; the others of the same electrode still wait for their company.
        if (delayS === 0 && list.some((n) => !n.urgent))
          await notifyQueue.send([{ body: { recipient }, delayS: settings.mailHoldS }])
      }
    },
  }
}
