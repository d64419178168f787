import { createIntake } from '../../../functions/intake/create-intake.ts'
import type { QueueHandler } from '../../../shared-lib/ports/queue.ts'
import { csvOf, type Fleet } from '../../service/fleet.ts'
import { type House, someone } from '../../web-api/house.ts'

const ROWS_A_FILE = 500

/** Hands in all surveys of a fleet by files, as people do, and compares them. The fleet is in the register. */
export async function surveysOf(house: House, fleet: Fleet): Promise<void> {
  const { ledger, archive, clock, newId } = house.deps
  const compareQueue = { send: async (sent: typeof house.toCompare) => void house.toCompare.push(...sent) }
  const intake: QueueHandler = createIntake({ ledger, archive, compareQueue, clock, newId, log: () => {} })
  for (let from = 0; from < fleet.rows.length; from += ROWS_A_FILE) {
    const body = csvOf(fleet, fleet.rows.slice(from, from + ROWS_A_FILE))
    const answer = await house.call(someone('admin'), 'POST', '/api/uploads', body, {
      'Content-Type': 'text/csv',
    })
    if (!answer.ok) throw new Error(await answer.text())
  }
  for (const { body } of house.toIntake.splice(0)) {
    const attributes = { ApproximateReceiveCount: '1' }
    await intake({ Records: [{ messageId: newId(), body: JSON.stringify(body), attributes }] })
  }
  await house.compare()
}
