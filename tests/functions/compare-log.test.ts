import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { createCompare } from '../../functions/compare/create-compare.ts'
import { defaultParameters } from '../../shared-lib/history/parameters.ts'
import { correlationId } from '../../shared-lib/ports/correlation.ts'
import type { QueueRecord } from '../../shared-lib/ports/queue.ts'
import { type House, openHouse, shortSurvey, someone } from '../web-api/house.ts'

let house: House
beforeAll(async () => {
  house = await openHouse()
  const register = 'electrode_id,site_id,kind,limit_ohm,responsible_email\nN-1,North,rod,5,eng@example.org\n'
  const csv = { 'Content-Type': 'text/csv' }
  expect((await house.call(someone('admin'), 'POST', '/api/register', register, csv)).status).toBe(200)
  house.toCompare.length = 0
}, 30_000)
afterAll(() => house.close())

/** Compare with its log and what it sends, each with the submission it was done for. */
function watched() {
  const logged: { entry: Record<string, unknown>; under: string | undefined }[] = []
  const sent: { body: unknown; under: string | undefined }[] = []
  const { ledger, clock, newId } = house.deps
  const compare = createCompare({
    ...{ ledger, clock, newId, parameters: defaultParameters },
    notifyQueue: {
      send: async (messages) => {
        for (const { body } of messages) sent.push({ body, under: correlationId() })
      },
    },
    log: (entry) => logged.push({ entry, under: correlationId() }),
    settings: { fallbackEmail: 'duty@example.org', mailHoldS: 30, oldAfterDays: 30_000 },
  })
  return { compare, logged, sent }
}
const recordOf = (body: unknown, submission?: string): QueueRecord => ({
  messageId: crypto.randomUUID(),
  body: typeof body === 'string' ? body : JSON.stringify(body),
  attributes: { ApproximateReceiveCount: '1' },
  ...(submission === undefined ? {} : { messageAttributes: { correlationId: { stringValue: submission } } }),
})
async function handIn(ref: string, ohm: number): Promise<unknown> {
  const body = shortSurvey(ref, 'N-1', '2026-04-01T08:00:00Z', ohm)
  expect((await house.call(someone('field'), 'POST', '/api/surveys', body)).status).toBe(201)
  return house.toCompare.splice(0)[0]!.body
}

describe('what a comparison logs and sends', () => {
  it('carries the id of the submission it goes back to, on to the mail', async () => {
    const { compare, logged, sent } = watched()
    await compare({ Records: [recordOf(await handIn('A-1', 30), 'request-1')] })
    expect(logged).toMatchObject([{ entry: { message: 'compared' }, under: 'request-1' }])
    expect(sent).toMatchObject([{ body: { recipient: 'eng@example.org' }, under: 'request-1' }])
    expect(logged[0]!.entry.alsoFor).toBeUndefined()
  })

  it('names every submission that one comparison answers', async () => {
    const { compare, logged } = watched()
    const records = [
      recordOf(await handIn('A-2', 31), 'request-2'),
      recordOf(await handIn('A-3', 32), 'request-3'),
    ]
    await compare({ Records: records })
    expect(logged).toMatchObject([
      { entry: { message: 'compared', alsoFor: ['request-3'] }, under: 'request-2' },
    ])
  })

  it('says of a message that nobody understands which it was, and goes on with the others', async () => {
    const { compare, logged } = watched()
    const odd = recordOf('not JSON', 'request-4')
    const { batchItemFailures } = await compare({
      Records: [odd, recordOf(await handIn('A-4', 33), 'request-5')],
    })
    expect(batchItemFailures).toEqual([{ itemIdentifier: odd.messageId }])
    expect(logged).toMatchObject([
      { entry: { message: 'a message failed', messageId: odd.messageId }, under: 'request-4' },
      { entry: { message: 'compared' }, under: 'request-5' },
    ])
  })
})
