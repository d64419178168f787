import { fileURLToPath } from 'node:url'
import { expect, it } from 'vitest'
import { killedAfter } from './killed-child.ts'
import { queueFolder, realClock } from './queue-folder.ts'

it('a queue killed at work has every acknowledged message once, and none that was done', async () => {
  const folder = queueFolder(realClock)
  const script = fileURLToPath(new URL('queue-child.ts', import.meta.url))
  const lines = await killedAfter(300, script, folder.path)
  const numbers = (word: string) =>
    new Set(lines.filter((l) => l.startsWith(`${word} `)).map((l) => Number(l.slice(5))))
  const [sent, done] = [numbers('sent'), numbers('done')]
  const queue = folder.queues.queue('q', { fifo: false })
  expect(queue.releaseInFlight()).toBeGreaterThan(10)
  const all = queue.receive({ max: 100_000, visibilityMs: 1000, maxReceives: 5 })!.messages
  const left = all.map((m) => Number(JSON.parse(m.body).n))
  expect(new Set(left).size).toBe(left.length)
  expect(left.filter((n) => done.has(n))).toEqual([])
  // What was written in the moment of the kill and not yet said may be there or gone: one message at most.
  const missing = [...sent].filter((n) => !done.has(n) && !left.includes(n))
  expect(missing.length).toBeLessThanOrEqual(1)
  expect(left.filter((n) => !sent.has(n)).length).toBeLessThanOrEqual(1)
  expect(all.every((m) => m.receives === 1)).toBe(true)
})
