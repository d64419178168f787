import { mkdtemp, rm } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { BatchWriteCommand, ScanCommand } from '@aws-sdk/lib-dynamodb'
import { openTable } from '../../../cdk/local/adapters/table.ts'
import { readSettings } from '../../../cdk/local/settings.ts'
import { startLocal } from '../../../cdk/local/start-local.ts'
import { chunksOf, inParallel } from '../../../shared-lib/ledger/parallel.ts'
import type { Log } from '../../../shared-lib/ports/handle-batch.ts'
import { csvOf, type Fleet, makeFleet } from '../../service/fleet.ts'
import { type Benchmark, ratioOf, rounded } from '../ratio.ts'

const ELECTRODES = 500
const TESTS_EACH = 20
/** As `makeFleet` lays them out: each site is compared at least once. */
const ELECTRODES_A_SITE = 10
const QUIET_MS = 2500
const wait = (ms: number) => new Promise((resolve) => setTimeout(resolve, ms))

interface Timed {
  seconds: number
  /** Of this process, user and system: less shaken by what else the machine does than the time on the wall. */
  cpuSeconds: number
}
const cpuSeconds = () => {
  const { user, system } = process.cpuUsage()
  return (user + system) / 1e6
}

/** The service, and when it last said that it had compared something. */
async function throughService(
  dataDir: string,
  fleet: Fleet,
  electrodes: number,
): Promise<Timed & { uploadSeconds: number }> {
  let comparedAtMs = 0
  let comparedCpu = 0
  let comparisons = 0
  const log: Log = (entry) => {
    if (entry.level === 'error') console.error(entry)
    if (entry.message !== 'compared') return
    comparedAtMs = performance.now()
    comparedCpu = cpuSeconds()
    comparisons++
  }
  const settings = readSettings({ PORT: '0', STAKELINE_DATA: dataDir, STAKELINE_SAMPLE: 'no' })
  const service = await startLocal({ ...settings, port: 0 }, log)
  const ask = async (path: string, init: RequestInit = {}) => {
    const headers = { authorization: `Bearer ${service.adminToken}`, 'content-type': 'text/csv' }
    const answer = await fetch(`${service.url}${path}`, { ...init, headers })
    if (!answer.ok) throw new Error(`${path}: ${answer.status} ${await answer.text()}`)
    return (await answer.json()) as { id: string; state: string; surveysAccepted: number }
  }
  const quiet = async (fewest = 0) => {
    while (comparisons < fewest || performance.now() - comparedAtMs < QUIET_MS) await wait(100)
  }
  try {
    await ask('/api/register', { method: 'POST', body: fleet.registerCsv })
    await quiet()
    comparisons = 0
    const startCpu = cpuSeconds()
    const startMs = performance.now()
    const { id } = await ask('/api/uploads', { method: 'POST', body: csvOf(fleet) })
    let uploadSeconds = 0
    for (;;) {
      const upload = await ask(`/api/uploads/${id}`)
      if (
        upload.state === 'failed' ||
        (upload.state === 'done' && upload.surveysAccepted !== fleet.rows.length)
      )
        throw new Error(JSON.stringify(upload))
      if (upload.state === 'done') break
      await wait(100)
    }
    uploadSeconds = (performance.now() - startMs) / 1000
    await quiet(Math.ceil(electrodes / ELECTRODES_A_SITE))
    return {
      seconds: (comparedAtMs - startMs) / 1000,
      cpuSeconds: comparedCpu - startCpu,
      uploadSeconds,
    }
  } finally {
    await service.stop()
  }
}

async function allItems(dataDir: string): Promise<Record<string, unknown>[]> {
  const table = await openTable({ dataDir })
  const items: Record<string, unknown>[] = []
  let ExclusiveStartKey: Record<string, unknown> | undefined
  do {
    const page = await table.client.send(new ScanCommand({ TableName: table.tableName, ExclusiveStartKey }))
    items.push(...(page.Items ?? []))
    ExclusiveStartKey = page.LastEvaluatedKey
  } while (ExclusiveStartKey)
  await table.close()
  return items
}

/** Only what the backfill left: the register was there before, and is written before the clock starts. */
async function bareWrites(dataDir: string, items: Record<string, unknown>[]): Promise<Timed> {
  const table = await openTable({ dataDir, apart: true })
  const write = (some: Record<string, unknown>[]) =>
    inParallel(chunksOf(some, 25), 4, async (chunk) => {
      const requests = chunk.map((Item) => ({ PutRequest: { Item } }))
      await table.client.send(new BatchWriteCommand({ RequestItems: { [table.tableName]: requests } }))
    })
  await write(items.filter((i) => i.sk === 'REG'))
  const rest = items.filter((i) => i.sk !== 'REG')
  const startCpu = cpuSeconds()
  const startMs = performance.now()
  await write(rest)
  const seconds = (performance.now() - startMs) / 1000
  await table.close()
  return { seconds, cpuSeconds: cpuSeconds() - startCpu }
}

/** A file in order of electrode, or of date as a season is written down. */
const ORDERS = {
  electrode: (rows: string[]) => rows,
  date: (rows: string[]) => rows.toSorted((a, b) => (a.split(',')[2]! < b.split(',')[2]! ? -1 : 1)),
}

/**
 * A backfill of 10,000 surveys through the whole service on this machine, from the HTTP upload to the last assessment, against a bare
 * SDK client that batch-writes the same final items into a table of the same kind.
 */
export const backfill: Benchmark = {
  name: 'backfill',
  async run(scale) {
    const rows = []
    for (const [order, inOrder] of Object.entries(ORDERS)) {
      const electrodes = Math.max(10, Math.round(ELECTRODES * scale))
      const made = makeFleet(electrodes, TESTS_EACH)
      const fleet = { ...made, rows: inOrder(made.rows) }
      const folder = await mkdtemp(join(tmpdir(), 'stakeline-backfill-'))
      try {
        const service = await throughService(join(folder, 'service'), fleet, electrodes)
        const items = await allItems(join(folder, 'service'))
        const bare = await bareWrites(join(folder, 'bare'), items)
        rows.push(
          ratioOf({
            name: `backfill-${order}`,
            what: `${fleet.rows.length} surveys in order of ${order}, from the upload to the last assessment`,
            against: `the same ${items.length} items batch-written by a bare SDK client`,
            ...{ measured: service.seconds, reference: bare.seconds, unit: 's', goal: 3 },
            notes: {
              'upload s': rounded(service.uploadSeconds),
              'processor time': rounded(service.cpuSeconds / bare.cpuSeconds),
            },
          }),
        )
      } finally {
        await rm(folder, { recursive: true, force: true, maxRetries: 5 })
      }
    }
    return rows
  },
}
