import { describe, expect, it, vi } from 'vitest'
import { createPressure } from '../../functions/web/limits/pressure.ts'

describe('how hard the process is pressed', () => {
  it('is told by the age of the oldest request, a few slow ones left out', () => {
    let nowMs = 0
    const pressure = createPressure({ nowMs: () => nowMs }, () => 0)
    const first = pressure.enter()
    nowMs = 100
    pressure.enter()
    nowMs = 150
    expect(pressure.oldestMs(0)).toBe(150)
    expect(pressure.oldestMs(1)).toBe(50)
    expect(pressure.oldestMs(2)).toBe(0)
    first()
    expect(pressure.oldestMs(0)).toBe(50)
  })
})

describe('work that can wait', () => {
  it('begins at once when no request is in', async () => {
    await expect(createPressure({ nowMs: () => 0 }, () => 0).whenIdle(1e9)).resolves.toBeUndefined()
  })

  it('begins when the last request has been answered, and not before', async () => {
    const pressure = createPressure({ nowMs: () => 0 }, () => 0)
    const [one, other] = [pressure.enter(), pressure.enter()]
    const begun = vi.fn()
    const waiting = pressure.whenIdle(1e6).then(begun)
    one()
    await new Promise(setImmediate)
    expect(begun).not.toHaveBeenCalled()
    other()
    await waiting
    expect(begun).toHaveBeenCalledOnce()
  })

  it('begins after its time also when requests never end', async () => {
    const pressure = createPressure({ nowMs: () => 0 }, () => 0)
    pressure.enter()
    await expect(pressure.whenIdle(5)).resolves.toBeUndefined()
  })
})

describe('work that is less when more of it has come together', () => {
  const real = { nowMs: () => Date.now() }

  it('begins at once when nobody has written lately, also while others read', async () => {
    const pressure = createPressure(real, () => 0)
    pressure.enter()()
    await expect(pressure.whenQuiet(1e6, 1e6)).resolves.toBeUndefined()
  })

  it('waits for a quiet moment after each write that is answered, and no longer than it may', async () => {
    let nowMs = 0
    vi.useFakeTimers({ toFake: ['setTimeout', 'clearTimeout'], now: 0 })
    try {
      const pressure = createPressure({ nowMs: () => nowMs }, () => 0)
      const begun = vi.fn()
      const pass = async (ms: number) => {
        nowMs += ms
        await vi.advanceTimersByTimeAsync(ms)
      }
      pressure.enter(true)()
      void pressure.whenQuiet(100, 1000).then(begun)
      await pass(90)
      pressure.enter(true)()
      await pass(90)
      expect(begun).not.toHaveBeenCalled()
      await pass(10)
      expect(begun).toHaveBeenCalledOnce()
      void pressure.whenQuiet(100, 1000).then(begun)
      for (let i = 0; i < 11; i++) {
        pressure.enter(true)()
        await pass(90)
      }
      expect(begun).toHaveBeenCalledOnce()
      await pass(10)
      expect(begun).toHaveBeenCalledTimes(2)
    } finally {
      vi.useRealTimers()
    }
  })
})
