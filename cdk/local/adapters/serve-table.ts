import { once } from 'node:events'
import type { AddressInfo } from 'node:net'
import dynalite from 'dynalite'
import { closeIterators } from './close-iterators.ts'

export interface ServedTable {
  /** Where it listens: loopback, on a port of its own choice. */
  endpoint: string
  /** Waits for what is under way, then closes the files. */
  close(): Promise<void>
}

/** dynalite over the LevelDB files in `path`, in the thread that calls. Nobody else may have the folder open: it would end the process. */
export async function serveTable(path: string): Promise<ServedTable> {
  closeIterators()
  const server = dynalite({ path, createTableMs: 0, deleteTableMs: 0, updateTableMs: 0 })
  server.listen(0, '127.0.0.1')
  await once(server, 'listening')
  return {
    endpoint: `http://127.0.0.1:${(server.address() as AddressInfo).port}`,
    async close() {
      server.closeIdleConnections()
      await new Promise<void>((done, fail) => server.close((error) => (error ? fail(error) : done())))
    },
  }
}
