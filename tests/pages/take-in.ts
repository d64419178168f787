import { createIntake } from '../../functions/intake/create-intake.ts'
import type { House } from './house.ts'

/** Runs the real intake over every upload that waits in the house. */
export async function takeInAll(house: House): Promise<void> {
  const { ledger, archive, clock, newId } = house.deps
  const failed: unknown[] = []
  const intake = createIntake({
    ...{ ledger, archive, clock, newId },
    compareQueue: { send: async () => {} },
    log: (entry) => failed.push(...(entry.level === 'error' ? [entry] : [])),
  })
  const waiting = house.uploadsWaiting.splice(0)
  await intake({
    Records: waiting.map((uploadId, i) => ({
      messageId: `m${i}`,
      body: JSON.stringify({ uploadId }),
      attributes: { ApproximateReceiveCount: '1' },
    })),
  })
  if (failed.length > 0) throw new Error(JSON.stringify(failed))
}
