import { describe, expect, it } from 'vitest'
import { onFirstUse } from '../../shared-lib/ports/on-first-use.ts'

describe('what is made on first use', () => {
  it('is not made before, and once for everybody who asks at the same time', async () => {
    let made = 0
    const get = onFirstUse(async () => ({ nth: ++made }))
    expect(made).toBe(0)
    const [first, second] = await Promise.all([get(), get()])
    expect(first).toBe(second)
    expect(await get()).toBe(first)
    expect(made).toBe(1)
  })

  it('is tried again after a failure, which everybody who waited hears of', async () => {
    let tries = 0
    const get = onFirstUse(async () => {
      if (++tries === 1) throw new Error('not now')
      return tries
    })
    const both = await Promise.allSettled([get(), get()])
    expect(both.map((b) => b.status)).toEqual(['rejected', 'rejected'])
    expect(await get()).toBe(2)
  })
})
