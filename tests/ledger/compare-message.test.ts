import { describe, expect, it } from 'vitest'
import { sendCompare } from '../../shared-lib/ledger/compare-message.ts'
import type { ElectrodeRecord } from '../../shared-lib/ledger/ledger.ts'
import type { OutgoingMessage } from '../../shared-lib/ports/queue.ts'

const record = (electrodeId: string, siteId: string): ElectrodeRecord => ({
  electrode: { electrodeId, siteId, kind: 'rod' },
  versions: [{ from: '', electrode: { electrodeId, siteId, kind: 'rod' } }],
})
const register = { A: record('A', 'North'), B: record('B', 'North'), C: record('C', 'South') }

async function sent(...electrodeIds: string[]): Promise<OutgoingMessage[]> {
  const messages: OutgoingMessage[] = []
  await sendCompare(
    { getElectrodes: async (ids) => new Map(Object.entries(register).filter(([id]) => ids.includes(id))) },
    { send: async (m) => void messages.push(...m) },
    electrodeIds.map((electrodeId) => ({ electrodeId, stamp: '1' })),
  )
  return messages
}

describe('messages to compare', () => {
  it('are one an electrode, in one group a site', async () => {
    const [a, b, c] = await sent('A', 'B', 'C')
    expect([a, b, c].map((m) => m!.body.electrodeId)).toEqual(['A', 'B', 'C'])
    expect(a!.groupId).toBe(b!.groupId)
    expect(a!.groupId).not.toBe(c!.groupId)
    expect(new Set([a, b, c].map((m) => m!.deduplicationId)).size).toBe(3)
  })
  it('give an electrode that is not registered a group of its own', async () => {
    const [x, y] = await sent('X', 'Y')
    expect(x!.groupId).not.toBe(y!.groupId)
  })
  it('have ids that any queue takes, whatever the electrode is called', async () => {
    const [odd] = await sent(`Ω/${'long '.repeat(100)}`)
    expect(odd!.groupId).toMatch(/^[0-9a-f]{1,128}$/)
    expect(odd!.deduplicationId).toMatch(/^[0-9a-f]{1,128}$/)
  })
})
