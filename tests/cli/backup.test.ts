import { mkdir, readFile, rm, writeFile } from 'node:fs/promises'
import { join } from 'node:path'
import { GetCommand, PutCommand } from '@aws-sdk/lib-dynamodb'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { openTable } from '../../cdk/local/adapters/table.ts'
import type { Row } from '../../shared-lib/ledger/rows.ts'
import { recordOfSurvey, surveyRow } from '../../shared-lib/ledger/surveys.ts'
import { csvOf, makeFleet } from '../service/fleet.ts'
import { eventually, type Service, startService, temporaryFolder } from '../service/service.ts'
import { snapshot } from '../service/snapshot.ts'
import { records, stakeline } from './command.ts'

let home: Awaited<ReturnType<typeof temporaryFolder>>
let dataDir: string
const EVERYTHING = /^$/
const fleet = makeFleet(10, 6)
const csv = { 'content-type': 'text/csv' }
const run = (...args: string[]) => stakeline(args, { env: { STAKELINE_DATA: dataDir } })

async function fill(service: Service): Promise<void> {
  await service.json('admin', '/api/register', { method: 'POST', headers: csv, body: fleet.registerCsv })
  const sent = { method: 'POST', headers: csv, body: csvOf(fleet) }
  const { id } = await service.json<{ id: string }>('field', '/api/uploads', sent)
  await eventually(
    () => service.json<{ state: string }>('field', `/api/uploads/${id}`),
    (upload) => upload.state === 'done',
  )
  // Rest: everything judged and told.
  await eventually(
    () => service.json<{ items: unknown[] }>('quality', '/api/findings?limit=200'),
    ({ items }) => items.length > 0,
  )
  await new Promise((resolve) => setTimeout(resolve, 2500))
}

beforeAll(async () => {
  home = await temporaryFolder()
  dataDir = join(home.path, 'data')
  const service = await startService(dataDir)
  const inUse = await Promise.all([run('backup', join(home.path, 'early')), run('verify')])
  for (const { status, stderr } of inUse) {
    expect(stderr).toContain('Stop it')
    expect(status).toBe(2)
  }
  await fill(service)
  await service.stop()
}, 180_000)
afterAll(() => home.remove())

describe('stakeline backup and restore', () => {
  it('bring back every item, queue, file and token after the data folder is lost, and the service goes on', async () => {
    const before = await snapshot(dataDir, EVERYTHING)
    expect(before.length).toBeGreaterThan(fleet.rows.length)
    const copy = join(home.path, 'copy')
    const made = await run('backup', copy)
    expect(made).toMatchObject({ status: 0, stdout: '' })
    await rm(dataDir, { recursive: true })
    expect((await run('restore', copy)).status).toBe(0)
    expect(await snapshot(dataDir, EVERYTHING)).toEqual(before)
    const service = await startService(dataDir)
    const page = await service.json<{ items: unknown[] }>('quality', '/api/findings?limit=200')
    expect(page.items.length).toBeGreaterThan(0)
    await service.stop()
  }, 180_000)

  it('write over nothing: not an earlier backup, and not a data folder', async () => {
    const full = join(home.path, 'full')
    await mkdir(full)
    await writeFile(join(full, 'mine.txt'), 'x')
    const made = await run('backup', full)
    expect(made.status).toBe(2)
    expect(made.stderr).toContain('is not empty')
    const copy = join(home.path, 'second')
    expect((await run('backup', copy)).status).toBe(0)
    const back = await run('restore', copy)
    expect(back.status).toBe(2)
    expect(back.stderr).toContain('is not empty')
  })

  it('notice a file that has changed or is missing, and then restore nothing', async () => {
    const copy = join(home.path, 'third')
    expect((await run('backup', copy)).status).toBe(0)
    const target = join(home.path, 'elsewhere')
    const queues = join(copy, 'queues.sqlite')
    const sound = await readFile(queues)
    const spoilt = Buffer.from(sound)
    spoilt[100]! ^= 1
    for (const damage of [
      () => writeFile(queues, spoilt),
      () => writeFile(queues, sound.subarray(1)),
      () => rm(queues),
    ]) {
      await damage()
      const back = await stakeline(['restore', copy], { env: { STAKELINE_DATA: target } })
      expect(back.status).toBe(2)
      expect(back.stderr).toContain('The backup is damaged: queues.sqlite')
      await expect(readFile(join(target, 'token.key'))).rejects.toThrow('ENOENT')
    }
  })

  it('take no list that leads out of its folder', async () => {
    const copy = join(home.path, 'foreign')
    await mkdir(copy)
    const files = [{ path: '../../escaped', bytes: 0, sha256: 'e'.repeat(64) }]
    await writeFile(
      join(copy, 'backup.json'),
      JSON.stringify({ format: 1, madeAt: '2026-01-01T00:00:00Z', files }),
    )
    const back = await stakeline(['restore', copy], { env: { STAKELINE_DATA: join(home.path, 'x') } })
    expect(back.status).toBe(2)
    expect(back.stderr).toContain('nothing to read')
  })
})

describe('stakeline verify', () => {
  it('finds nothing in what the service has judged', async () => {
    const done = await run('verify', '--json')
    expect(records(done.stdout)).toEqual([
      { kind: 'verified', electrodes: 10, surveys: fleet.rows.length, differences: 0, waiting: 0 },
    ])
    expect(done.status).toBe(0)
  })

  it('names a judgement that was changed in the store, by electrode and survey', async () => {
    const table = await openTable({ dataDir })
    const at = { TableName: table.tableName }
    const Key = { pk: 'E#T-003', sk: 'SV#T-003-2' }
    const { Item } = await table.client.send(new GetCommand({ ...at, Key }))
    const record = recordOfSurvey(Item as Row)
    const judged = { ...record.judged, resistanceOhm: record.judged.resistanceOhm! * 2 }
    await table.client.send(new PutCommand({ ...at, Item: surveyRow({ ...record, judged }) }))
    await table.close()
    const done = await run('verify', '--json')
    expect(done.status).toBe(1)
    const differences = records(done.stdout).filter((r) => r.kind === 'difference')
    expect(differences).toMatchObject([{ what: 'survey', subject: 'T-003', surveyRef: 'T-003-2' }])
    expect((await run('verify')).stdout).toContain('T-003 T-003-2: the stored evaluation')
    await restoreItem(Item!)
  })

  async function restoreItem(Item: Record<string, unknown>): Promise<void> {
    const table = await openTable({ dataDir })
    await table.client.send(new PutCommand({ TableName: table.tableName, Item }))
    await table.close()
  }
})
