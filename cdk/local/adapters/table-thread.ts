import { parentPort, workerData } from 'node:worker_threads'
import { serveTable } from './serve-table.ts'

/** The table's own thread: says where it listens, closes the files when told anything, and says that it has. */
const port = parentPort
if (!port) throw new Error('table-thread.ts is the start of a worker thread')
const table = await serveTable(String(workerData))
port.once('message', async () => {
  await table.close()
  port.postMessage('closed')
})
port.postMessage(table.endpoint)
