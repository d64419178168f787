import { mkdtemp, rm } from 'node:fs/promises'
import { createRequire } from 'node:module'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { expect, it } from 'vitest'
import { openTable } from '../../cdk/local/adapters/table.ts'
import { createLedger } from '../../shared-lib/ledger/create-ledger.ts'
import type { ElectrodeRecord } from '../../shared-lib/ledger/kept/register.ts'
import { electrode, NOW, survey } from '../ledger/examples.ts'
import { killedAfter } from './killed-child.ts'

// dynalite's own LevelDB, so that the files are opened by what wrote them.
const { Level } = createRequire(import.meta.resolve('dynalite'))('level')

const script = fileURLToPath(new URL('table-child.ts', import.meta.url))

it('a table killed three times at work has everything it acknowledged, in the item and in the lists', async () => {
  const dataDir = await mkdtemp(join(tmpdir(), 'stakeline-table-'))
  const acknowledged = new Set<string>()
  for (const enough of [60, 90, 120])
    for (const id of await killedAfter(enough, script, dataDir)) acknowledged.add(id)
  const table = await openTable({ dataDir })
  try {
    expect(await table.refreshed).toBeGreaterThanOrEqual(acknowledged.size)
    const ledger = createLedger(table)
    const ids = [...acknowledged]
    expect([...(await ledger.getElectrodes(ids)).keys()].toSorted()).toEqual(ids.toSorted())
    const marked = new Set((await ledger.listMarks()).map((m) => m.electrodeId))
    expect(ids.filter((id) => !marked.has(id))).toEqual([])
    const listed: ElectrodeRecord[] = []
    let cursor: string | undefined
    do {
      const page = await ledger.listElectrodes({ limit: 100, ...(cursor ? { cursor } : {}) })
      listed.push(...page.items)
      cursor = page.next ?? undefined
    } while (cursor)
    const names = new Set(listed.map((r) => r.electrode.electrodeId))
    expect(ids.filter((id) => !names.has(id))).toEqual([])
    for (const id of ids) {
      expect((await ledger.putSurvey(survey(id, 'first'))).outcome).toBe('already-there')
      const again = electrode(id, { siteId: `site ${id[0]}` })
      expect(await ledger.putElectrode(again, { nowIso: NOW })).toBe('same')
    }
  } finally {
    await table.close()
    await rm(dataDir, { recursive: true, force: true })
  }
}, 60_000)

it('an item whose index row was lost in a crash is in the lists again after the next start', async () => {
  const dataDir = await mkdtemp(join(tmpdir(), 'stakeline-table-'))
  const table = await openTable({ dataDir })
  const ledger = createLedger(table)
  for (const id of ['A', 'B', 'C']) await ledger.putElectrode(electrode(id), { nowIso: NOW })
  await table.close()
  // As a kill between dynalite's two writes leaves it: the item is there, its rows in the indexes are not.
  const files = new Level(join(dataDir, 'table'))
  for await (const key of files.keys()) if (key.startsWith('index-')) await files.del(key)
  await files.close()
  await rm(join(dataDir, 'table.closed'))
  const again = await openTable({ dataDir })
  expect(await again.refreshed).toBe(3)
  const { items } = await createLedger(again).listElectrodes({})
  expect(items.map((r) => r.electrode.electrodeId)).toEqual(['A', 'B', 'C'])
  await again.close()
  const third = await openTable({ dataDir })
  expect(await third.refreshed).toBe(0)
  await third.close()
  await rm(dataDir, { recursive: true, force: true })
})

it('a second process is told that the folder is in use, and a closed table can be opened again', async () => {
  const dataDir = await mkdtemp(join(tmpdir(), 'stakeline-table-'))
  const table = await openTable({ dataDir })
  await expect(openTable({ dataDir })).rejects.toThrow(/held by another process/)
  await createLedger(table).putElectrode(electrode('A'), { nowIso: NOW })
  await table.close()
  const again = await openTable({ dataDir })
  expect(await createLedger(again).getElectrode('A')).not.toBeNull()
  await again.close()
  await rm(dataDir, { recursive: true, force: true })
})
