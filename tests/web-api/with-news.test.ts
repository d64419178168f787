import { expect, it } from 'vitest'
import { withNews } from '../../functions/web/with-news.ts'
import { openHouse } from './house.ts'

it('marks the electrode before the write, so that a crash in between is found by the next sweep', async () => {
  const house = await openHouse()
  try {
    const during = await withNews(house.deps, ['E-1'], () => house.deps.ledger.getMark('E-1'))
    expect(during).not.toBeNull()
    const crash = withNews(house.deps, ['E-2'], () => Promise.reject(new Error('power cut')))
    await expect(crash).rejects.toThrow('power cut')
    expect((await house.deps.ledger.listMarks()).map((m) => m.electrodeId).sort()).toEqual(['E-1', 'E-2'])
    // Not in the register yet, so of no site: one message for all of these.
    expect(house.toCompare.map((m) => m.body.siteId)).toEqual([''])
  } finally {
    await house.close()
  }
}, 30_000)
