import { mkdtemp, rm } from 'node:fs/promises'
import { createRequire } from 'node:module'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { expect, it, onTestFinished, vi } from 'vitest'
import { openTable } from '../../cdk/local/adapters/table.ts'
import { createLedger } from '../../shared-lib/ledger/create-ledger.ts'
import { electrode, NOW, survey } from '../ledger/examples.ts'

// The very library that dynalite uses: each iterator is registered with its store when it is opened and taken off when it is closed.
const { AbstractLevel } = createRequire(createRequire(import.meta.url).resolve('dynalite'))('abstract-level')

it('reading leaves no iterator of the store open, whether it is read to its end or not', async () => {
  const dataDir = await mkdtemp(join(tmpdir(), 'stakeline-iterators-'))
  const open = new Set<unknown>()
  let opened = 0
  const { attachResource, detachResource } = AbstractLevel.prototype
  AbstractLevel.prototype.attachResource = function attach(resource: unknown) {
    opened++
    open.add(resource)
    attachResource.call(this, resource)
  }
  AbstractLevel.prototype.detachResource = function detach(resource: unknown) {
    open.delete(resource)
    detachResource.call(this, resource)
  }
  const table = await openTable({ dataDir })
  onTestFinished(async () => {
    await table.close()
    Object.assign(AbstractLevel.prototype, { attachResource, detachResource })
    await rm(dataDir, { recursive: true, force: true })
  })
  const ledger = createLedger(table)
  for (let n = 0; n < 5; n++) {
    await ledger.putElectrode(electrode(`E-${n}`, { siteId: 'S' }), { nowIso: NOW })
    await ledger.putSurvey(survey(`E-${n}`, 'first'))
  }
  const before = opened
  for (let n = 0; n < 10; n++) {
    await ledger.listElectrodes({ siteId: 'S', limit: 2 })
    await ledger.listElectrodes({ limit: 100 })
    await ledger.readElectrodeFile(`E-${n % 5}`)
  }
  expect(opened - before).toBeGreaterThanOrEqual(30)
  await vi.waitFor(() => expect(open.size).toBe(0))
})
