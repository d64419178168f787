import { mkdtemp, rm } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { diskArchive } from '../../cdk/local/adapters/disk-archive.ts'
import { createDiscardDrafts } from '../../functions/upkeep/discard-drafts.ts'
import type { UploadState } from '../../shared-lib/ledger/kept/upload.ts'
import { upload } from '../ledger/examples.ts'
import { ledgerUnderTest } from '../ledger/ledger-under-test.ts'

const under = ledgerUnderTest()
const NOW_MS = Date.parse('2026-05-20T12:00:00Z')
let dir: string
beforeAll(async () => {
  dir = await mkdtemp(join(tmpdir(), 'stakeline-drafts-'))
})
afterAll(() => rm(dir, { recursive: true, force: true }))

const archive = () => diskArchive(join(dir, 'archive'))
const run = (remove = archive().remove) =>
  createDiscardDrafts({
    ledger: under.ledger,
    archive: { remove },
    clock: { nowMs: () => NOW_MS },
    log: () => {},
  })()

async function kept(id: string, state: UploadState, receivedAt: string) {
  const archiveKey = `uploads/${id}`
  await archive().put(archiveKey, bytes())
  const stored = upload(id, { state, receivedAt, archiveKey })
  await under.ledger.putUpload(stored)
  return stored
}
async function* bytes() {
  yield new TextEncoder().encode('electrode_id\n')
}
async function fileOf(id: string): Promise<boolean> {
  try {
    for await (const _ of archive().open(`uploads/${id}`)) return true
    return true
  } catch {
    return false
  }
}

const OLD = '2026-05-06T11:59:59Z'

describe('a draft that was never handed in', () => {
  it('goes after 14 days, entry and file; younger ones and what was handed in stay', async () => {
    await kept('old-draft', 'draft', OLD)
    await kept('young-draft', 'draft', '2026-05-06T12:00:01Z')
    for (const state of ['received', 'working', 'done', 'failed'] as const)
      await kept(`old-${state}`, state, OLD)
    expect(await run()).toBe(1)
    expect(await under.ledger.getUpload('old-draft')).toBeNull()
    expect(await fileOf('old-draft')).toBe(false)
    for (const id of ['young-draft', 'old-received', 'old-working', 'old-done', 'old-failed']) {
      expect(await under.ledger.getUpload(id)).not.toBeNull()
      expect(await fileOf(id)).toBe(true)
    }
    expect(await run()).toBe(0)
  })

  it('is finished by the next call after a crash before or after its file went', async () => {
    await kept('crashed-before', 'draft', OLD)
    await expect(run(async () => Promise.reject(new Error('crash')))).rejects.toThrow('crash')
    await kept('crashed-after', 'draft', OLD)
    await archive().remove('uploads/crashed-after')
    expect(await run()).toBe(2)
    expect(await fileOf('crashed-before')).toBe(false)
    expect(await under.ledger.getUpload('crashed-after')).toBeNull()
  })

  it('cannot be handed in any more once it is being removed, and is not removed once handed in', async () => {
    const { ledger } = under
    const late = await kept('late', 'draft', OLD)
    await ledger.setDraftAside('late')
    expect(await ledger.changeDraft({ ...late, state: 'received' })).toBe(false)
    expect((await ledger.getUpload('late'))?.state).toBe('draft')

    const first = await kept('first', 'draft', OLD)
    expect(await ledger.changeDraft({ ...first, state: 'received' })).toBe(true)
    expect(await ledger.setDraftAside('first')).toBe(false)
    await ledger.removeDraft('first')
    expect((await ledger.getUpload('first'))?.state).toBe('received')
  })
})
