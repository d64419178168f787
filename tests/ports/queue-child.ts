/** Run by queue-kill.test.ts: sends without end and says each number once it is durable; handles some in between. */
import { openQueues } from '../../cdk/local/adapters/queues.ts'

const queues = openQueues({ path: process.argv[2]!, clock: { nowMs: () => Date.now() } })
const queue = queues.queue('q', { fifo: false })
const take = { max: 1, visibilityMs: 600_000, maxReceives: 5 }
for (let n = 0; ; n++) {
  await queue.send([{ body: { n } }])
  process.stdout.write(`sent ${n}\n`)
  if (n % 3 !== 0) continue
  const { receipt, messages } = queue.receive(take)!
  // Every other one is left in flight, as a crash in the middle of the work leaves it.
  if (n % 2 !== 0) continue
  queue.done(receipt, [messages[0]!.id])
  process.stdout.write(`done ${JSON.parse(messages[0]!.body).n}\n`)
}
