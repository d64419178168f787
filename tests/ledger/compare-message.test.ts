import { describe, expect, it } from 'vitest'
import {
  type CompareMessage,
  sendCompare,
  sendCompareOfMarks,
} from '../../shared-lib/ledger/compare-message.ts'
import type { OutgoingMessage } from '../../shared-lib/ports/queue.ts'

async function sent(...news: CompareMessage[]): Promise<OutgoingMessage[]> {
  const messages: OutgoingMessage[] = []
  await sendCompare({ send: async (m) => void messages.push(...m) }, news)
  return messages
}
const of = (siteId: string, electrodeId: string, surveyRef: string) => ({
  siteId,
  electrodeId,
  surveyRef,
  stamp: '1',
})

describe('messages to compare', () => {
  it('are in one group a site, each survey once', async () => {
    const [a, b, c] = await sent(of('North', 'A', '1'), of('North', 'A', '2'), of('South', 'C', '1'))
    expect(a!.groupId).toBe(b!.groupId)
    expect(a!.groupId).not.toBe(c!.groupId)
    expect(new Set([a, b, c].map((m) => m!.deduplicationId)).size).toBe(3)
  })
  it('of marks are one a site', async () => {
    const messages: OutgoingMessage[] = []
    const marks = ['North', 'South', 'North', ''].map((siteId) => ({ siteId, stamp: 's' }))
    await sendCompareOfMarks({ send: async (m) => void messages.push(...m) }, marks)
    expect(messages.map((m) => m.body.siteId)).toEqual(['North', 'South', ''])
  })
  it('have ids that any queue takes, whatever the site is called', async () => {
    const [odd] = await sent(of(`Ω/${'long '.repeat(100)}`, 'A', '1'))
    expect(odd!.groupId).toMatch(/^[0-9a-f]{1,128}$/)
    expect(odd!.deduplicationId).toMatch(/^[0-9a-f]{1,128}$/)
  })
})
