import { join } from 'node:path'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { diskArchive } from '../../cdk/local/adapters/disk-archive.ts'
import { type OpenTable, openTable } from '../../cdk/local/adapters/table.ts'
import { createIntake } from '../../functions/intake/create-intake.ts'
import { createLedger } from '../../shared-lib/ledger/create-ledger.ts'
import type { Upload } from '../../shared-lib/ledger/kept/upload.ts'
import type { Ledger } from '../../shared-lib/ledger/ledger.ts'
import type { OutgoingMessage } from '../../shared-lib/ports/queue.ts'
import { csvOf, makeFleet } from '../service/fleet.ts'
import { temporaryFolder } from '../service/service.ts'

const NOW_MS = Date.parse('2026-11-25T10:00:00Z')
const fleet = makeFleet(2, 3)

describe('intake', () => {
  let folder: Awaited<ReturnType<typeof temporaryFolder>>
  let table: OpenTable
  let ledger: Ledger
  let intake: (csv: string, options?: { sites?: string[] }) => Promise<Upload>
  const sent: OutgoingMessage[] = []

  beforeAll(async () => {
    folder = await temporaryFolder()
    table = await openTable({ dataDir: folder.path })
    ledger = createLedger(table)
    const archive = diskArchive(join(folder.path, 'archive'))
    let ids = 0
    const newId = () => `id-${ids++}`
    const compareQueue = { send: async (m: OutgoingMessage[]) => void sent.push(...m) }
    const handler = createIntake({
      ledger,
      archive,
      compareQueue,
      clock: { nowMs: () => NOW_MS },
      newId,
      log: () => {},
      chunkSize: 2,
    })
    intake = async (csv, { sites } = {}) => {
      const id = newId()
      const byteLength = await archive.put(
        `uploads/${id}`,
        (async function* () {
          yield new TextEncoder().encode(csv)
        })(),
      )
      await ledger.putUpload({
        ...{ id, state: 'received', fileName: 'f.csv', archiveKey: `uploads/${id}`, byteLength },
        ...{ by: 'local:field', role: 'field', sites: sites ?? '*', receivedAt: '2026-11-25T10:00:00Z' },
        ...{ options: {}, ignoredColumns: [], checkpoint: 0, rowsRead: 0, rowsTotal: null },
        ...{ surveysAccepted: 0, surveysAlreadyThere: 0, surveysHeld: 0, surveysRefused: 0, rowsRefused: 0 },
      })
      const record = { messageId: '1', body: JSON.stringify({ uploadId: id }) }
      const event = { Records: [{ ...record, attributes: { ApproximateReceiveCount: '1' } }] }
      expect(await handler(event)).toEqual({ batchItemFailures: [] })
      return (await ledger.getUpload(id))!
    }
    for (const electrodeId of ['T-000', 'T-001'])
      await ledger.putElectrode(
        { electrodeId, siteId: 'TS-0', kind: 'rod', lengthM: 3 },
        { nowIso: '2026-01-01T00:00:00Z' },
      )
  })
  afterAll(async () => {
    await table?.close()
    await folder?.remove()
  })

  it('stores each survey once and sends one message a site, not one a survey', async () => {
    expect(await intake(csvOf(fleet))).toMatchObject({ state: 'done', surveysAccepted: 6, rowsRefused: 0 })
    expect(sent.map((m) => m.body.siteId)).toEqual(['TS-0'])
    expect(await intake(csvOf(fleet))).toMatchObject({ surveysAccepted: 0, surveysAlreadyThere: 6 })
  })

  it('refuses other content under a reference that is kept, by row, also when the kept one is held', async () => {
    const known = fleet.rows[0]!.replace(/[^,]*$/, '99.9')
    const stranger = fleet.rows[0]!.replace('T-000,', 'Nobody,')
    expect(await intake(csvOf(fleet, [stranger]))).toMatchObject({ surveysHeld: 1, surveysRefused: 0 })
    const other = await intake(csvOf(fleet, [stranger.replace(/[^,]*$/, '99.9'), known]))
    expect(other).toMatchObject({ surveysHeld: 0, surveysRefused: 2, rowsRefused: 2 })
    const { items } = await ledger.listRefused(other.id, {})
    expect(items.map((r) => [r.row, r.code])).toEqual([
      [2, 'survey-conflict'],
      [3, 'survey-conflict'],
    ])
  })

  it('takes nothing for a site that the sender does not hand in for', async () => {
    const fresh = fleet.rows[0]!.replace('T-000-0', 'fresh')
    const upload = await intake(csvOf(fleet, [fresh]), { sites: ['elsewhere'] })
    expect(upload).toMatchObject({ surveysAccepted: 0, surveysRefused: 1 })
    expect(await ledger.getSurvey({ kind: 'electrode', id: 'T-000' }, 'fresh')).toBeNull()
  })

  it('fails a file that cannot be read as a whole, and says why', async () => {
    const upload = await intake('name,colour\nx,y\n')
    expect(upload.state).toBe('failed')
    expect(upload.failure).toContain('survey_ref')
  })
})
