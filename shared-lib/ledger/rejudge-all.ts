import type { Queue } from '../ports/queue.ts'
import { sendCompareOfMarks } from './compare-message.ts'
import type { Ledger } from './ledger.ts'

/**
 * Has every site judged anew from its short histories, as after new parameters: no survey is read for it. Returns how many sites.
 */
export async function rejudgeAll(
  ledger: Pick<Ledger, 'listSites' | 'putMarks'>,
  compareQueue: Queue,
  { stamp, nowIso }: { stamp: string; nowIso: string },
): Promise<number> {
  const sites = await ledger.listSites()
  const marks = sites.map(({ siteId }) => ({
    ...{ electrodeId: '', siteId, portion: 'parameters' },
    ...{ stamp, markedAt: nowIso },
  }))
  await ledger.putMarks(marks)
  await sendCompareOfMarks(compareQueue, marks)
  return sites.length
}
