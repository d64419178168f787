import { once } from 'node:events'
import type { Writable } from 'node:stream'

const CHUNK_CHARS = 64 * 1024

/** Writes lines in large pieces and waits where the reader is slower, so that memory does not grow with the output. */
export interface LineWriter {
  /** Undefined when there is nothing to wait for: millions of lines need not go through the event loop one by one. */
  line(text: string): Promise<void> | undefined
  /** Resolves when everything given so far has been handed over. */
  flush(): Promise<void>
}

export function createLineWriter(out: Writable): LineWriter {
  let pending: string[] = []
  let pendingChars = 0
  const flush = async (): Promise<void> => {
    if (pending.length === 0) return
    const text = pending.join('')
    pending = []
    pendingChars = 0
    if (!out.write(text)) await once(out, 'drain')
  }
  return {
    line(text) {
      pending.push(text, '\n')
      pendingChars += text.length + 1
      return pendingChars >= CHUNK_CHARS ? flush() : undefined
    },
    flush,
  }
}
