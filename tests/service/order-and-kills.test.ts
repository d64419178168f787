import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { csvOf, type Fleet, makeFleet } from './fleet.ts'
import { eventually, type Service, startService, temporaryFolder } from './service.ts'
import { snapshot } from './snapshot.ts'

/** Uploads, mail and what is told are the arrival itself; marks are gone when all is judged. */
const ARRIVAL_ITSELF = /^(U|UR|UT|TD|TO|TM|MK)#/
const fleet = makeFleet(30, 10)
const KILLS = Number(process.env.STAKELINE_TEST_KILLS ?? 6)

const csv = { 'content-type': 'text/csv' }
const register = (service: Service) =>
  service.json('admin', '/api/register', { method: 'POST', headers: csv, body: fleet.registerCsv })
const upload = (service: Service, rows?: string[]) =>
  service.json<{ id: string }>('field', '/api/uploads', {
    method: 'POST',
    headers: csv,
    body: csvOf(fleet, rows),
  })

interface Upload {
  state: string
  surveysAccepted: number
  surveysAlreadyThere: number
  rowsRefused: number
}
const uploadDone = (service: Service, id: string, timeoutMs = 60_000) =>
  eventually(
    () => service.json<Upload>('field', `/api/uploads/${id}`),
    (u) => u.state === 'done' || u.state === 'failed',
    timeoutMs,
  )

/** Waits until nothing is marked any more: told by the number of judged electrodes staying the same over two looks. */
async function settled(service: Service): Promise<void> {
  let before = ''
  await eventually(
    async () => {
      const open = await service.json<{ items: unknown[] }>('quality', '/api/findings?state=open&limit=200')
      const due = await service.json<{ items: unknown[] }>('quality', '/api/due?limit=200')
      const now = JSON.stringify([open.items, due.items])
      const same = now === before
      before = now
      await new Promise((resolve) => setTimeout(resolve, 700))
      return same
    },
    (same) => same,
    60_000,
  )
}

async function finalState(
  run: (service: Service, dataDir: string) => Promise<Service>,
  of: Fleet,
): Promise<string[]> {
  const folder = await temporaryFolder()
  try {
    const first = await startService(folder.path)
    await register(first)
    const last = await run(first, folder.path)
    await settled(last)
    await last.stop()
    const state = await snapshot(folder.path, ARRIVAL_ITSELF)
    expect(state.length).toBeGreaterThan(of.rows.length)
    return state
  } finally {
    await folder.remove()
  }
}

describe('the state in the end', () => {
  let plain: string[]
  beforeAll(async () => {
    plain = await finalState(async (service) => {
      const done = await uploadDone(service, (await upload(service)).id)
      expect(done).toMatchObject({ surveysAccepted: fleet.rows.length, rowsRefused: 0 })
      return service
    }, fleet)
  })
  afterAll(() => {})

  it('is the same when the file comes twice, in pieces and backwards', async () => {
    const pieces = await finalState(async (service) => {
      const backwards = [...fleet.rows].reverse()
      for (const part of [backwards.slice(0, 100), backwards.slice(100), fleet.rows])
        await uploadDone(service, (await upload(service, part)).id)
      return service
    }, fleet)
    expect(pieces).toEqual(plain)
  }, 120_000)

  it(`is the same after ${KILLS} hard kills during the upload`, async () => {
    const killed = await finalState(async (first, dataDir) => {
      let service = first
      const { id } = await upload(service)
      for (let kill = 0; kill < KILLS; kill++) {
        await new Promise((resolve) => setTimeout(resolve, 40 + 130 * (kill % 5)))
        await service.kill()
        service = await startService(dataDir)
      }
      const done = await uploadDone(service, id)
      // Nothing lost, nothing twice, also in what the sender is told.
      expect(done).toMatchObject({
        surveysAccepted: fleet.rows.length,
        surveysAlreadyThere: 0,
        rowsRefused: 0,
      })
      return service
    }, fleet)
    expect(killed).toEqual(plain)
  }, 300_000)
})
