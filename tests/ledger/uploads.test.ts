import { describe, expect, it } from 'vitest'
import type { RefusedRow } from '../../shared-lib/ledger/kept/upload.ts'
import { upload } from './examples.ts'
import { ledgerUnderTest } from './ledger-under-test.ts'

const under = ledgerUnderTest()
const refused = (row: number | null, over: Partial<RefusedRow> = {}): RefusedRow => ({
  kind: 'refused',
  row,
  column: 'resistance_ohm',
  value: 'abc',
  code: 'not-a-number',
  problem: 'Write a number.',
  ...over,
})

describe('an upload', () => {
  it('lists refused rows in the order of the file, each once however often its chunk is done', async () => {
    const { ledger } = under
    const rows = [
      refused(17),
      refused(3),
      refused(17, { column: 'tested_at' }),
      refused(null, { code: 'file' }),
    ]
    const at = upload('A', { state: 'working', checkpoint: 1, rowsRefused: 4 })
    await ledger.checkpointUpload(at, rows)
    await ledger.checkpointUpload(at, rows)
    await ledger.checkpointUpload({ ...at, checkpoint: 2 }, [refused(1000), refused(999)])
    const all = await ledger.listRefused('A', { limit: 100 })
    expect(all.items.map((r) => r.row)).toEqual([null, 3, 17, 17, 999, 1000])
    expect(all.next).toBeNull()
    const first = await ledger.listRefused('A', { limit: 4 })
    const second = await ledger.listRefused('A', { limit: 4, cursor: first.next! })
    expect([...first.items, ...second.items]).toEqual(all.items)
    expect(await ledger.getUpload('A')).toEqual({ ...at, checkpoint: 2 })
  })

  it('is never taken back by a slow twin: neither to an earlier place nor from done', async () => {
    const { ledger } = under
    const at = (checkpoint: number, state: 'working' | 'done') => upload('B', { checkpoint, state })
    await ledger.putUpload(upload('B'))
    await ledger.checkpointUpload(at(200, 'working'), [])
    await ledger.checkpointUpload(at(100, 'working'), [])
    expect((await ledger.getUpload('B'))?.checkpoint).toBe(200)
    await ledger.checkpointUpload(at(200, 'done'), [])
    await ledger.checkpointUpload(at(200, 'working'), [])
    expect((await ledger.getUpload('B'))?.state).toBe('done')
    await ledger.putUpload(at(0, 'working'))
    expect(await ledger.getUpload('B')).toEqual(at(0, 'working'))
  })

  it('that is not there is null, and has no refused rows', async () => {
    expect(await under.ledger.getUpload('nobody')).toBeNull()
    expect(await under.ledger.listRefused('nobody', {})).toEqual({ items: [], next: null })
  })
})
