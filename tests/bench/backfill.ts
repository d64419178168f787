import { mkdtemp, rm } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { BatchWriteCommand, ScanCommand } from '@aws-sdk/lib-dynamodb'
import { openTable } from '../../cdk/local/adapters/table.ts'
import { readSettings } from '../../cdk/local/settings.ts'
import { startLocal } from '../../cdk/local/start-local.ts'
import { chunksOf, inParallel } from '../../shared-lib/ledger/parallel.ts'
import type { Log } from '../../shared-lib/ports/handle-batch.ts'
import { csvOf, makeFleet } from '../service/fleet.ts'

/**
 * `node tests/bench/backfill.ts [SCALE] [ORDER]`: a backfill of SCALE x 10,000 surveys (500 electrodes of 50 sites, 20 each; ORDER
 * `electrode`, the default, or `date`) through the whole service on this machine, from the HTTP upload to the last assessment; against
 * a bare SDK client that batch-writes the same final items into a table of the same kind. One JSON line with both times and their ratio.
 */
const scale = Number(process.argv[2] ?? 1)
const order = process.argv[3] ?? 'electrode'
const QUIET_MS = 2500
const wait = (ms: number) => new Promise((resolve) => setTimeout(resolve, ms))

const fleet = makeFleet(Math.round(500 * scale), 20)
const rows =
  order === 'date'
    ? fleet.rows.toSorted((a, b) => (a.split(',')[2]! < b.split(',')[2]! ? -1 : 1))
    : fleet.rows

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
async function throughService(dataDir: string): Promise<Timed & { uploadSeconds: number }> {
  let comparedAtMs = 0
  let comparisons = 0
  const log: Log = (entry) => {
    if (entry.level === 'error') console.error(entry)
    if (entry.message !== 'compared') return
    comparedAtMs = performance.now()
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
  const quiet = async () => {
    while (performance.now() - comparedAtMs < QUIET_MS) await wait(100)
  }
  try {
    await ask('/api/register', { method: 'POST', body: fleet.registerCsv })
    await quiet()
    comparisons = 0
    const startCpu = cpuSeconds()
    const startMs = performance.now()
    const { id } = await ask('/api/uploads', { method: 'POST', body: csvOf(fleet, rows) })
    let uploadSeconds = 0
    for (;;) {
      const upload = await ask(`/api/uploads/${id}`)
      if (upload.state === 'failed' || (upload.state === 'done' && upload.surveysAccepted !== rows.length))
        throw new Error(JSON.stringify(upload))
      if (upload.state === 'done') break
      await wait(100)
    }
    uploadSeconds = (performance.now() - startMs) / 1000
    comparedAtMs = Math.max(comparedAtMs, performance.now())
    await quiet()
    console.error(`comparisons: ${comparisons} for ${rows.length} surveys`)
    return {
      seconds: (comparedAtMs - startMs) / 1000,
      cpuSeconds: cpuSeconds() - startCpu,
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
  const table = await openTable({ dataDir })
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

const folder = await mkdtemp(join(tmpdir(), 'stakeline-backfill-'))
try {
  const service = await throughService(join(folder, 'service'))
  const items = await allItems(join(folder, 'service'))
  const bare = await bareWrites(join(folder, 'bare'), items)
  const rounded = (x: number) => Number(x.toPrecision(3))
  console.log(
    JSON.stringify({
      ...{ surveys: rows.length, order, items: items.length },
      ...{ seconds: rounded(service.seconds), uploadSeconds: rounded(service.uploadSeconds) },
      ...{ bareSeconds: rounded(bare.seconds), ratio: rounded(service.seconds / bare.seconds) },
      ...{ cpuSeconds: rounded(service.cpuSeconds), bareCpuSeconds: rounded(bare.cpuSeconds) },
      ...{ cpuRatio: rounded(service.cpuSeconds / bare.cpuSeconds) },
    }),
  )
} finally {
  await rm(folder, { recursive: true, force: true, maxRetries: 5 })
}
