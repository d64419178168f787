import { closeSync, openSync, readSync, writeSync } from 'node:fs'

/** Where a line lies in a spill, in bytes, without its line end. */
export interface SpillPlace {
  offset: number
  length: number
}

/**
 * Lines put aside on disk, so that a million of them need no memory: appended in order, read back one by one or all in order.
 * Synchronous on purpose: the file is throw-away and local, and a call for each line through the event loop costs more.
 */
export interface Spill {
  append(line: string): SpillPlace
  readAt(place: SpillPlace): string
  /** Every line in the order written. */
  lines(): Generator<string>
  close(): void
}

const BUFFER_BYTES = 1 << 20
const LINE_END = 0x0a

export function createSpill(path: string): Spill {
  const fd = openSync(path, 'w+', 0o600)
  let pending: string[] = []
  let pendingBytes = 0
  let end = 0

  const flush = (): void => {
    if (pending.length === 0) return
    const bytes = Buffer.from(pending.join(''))
    let written = 0
    // Appended at the known end: reads in between must not move the place of the next write.
    while (written < bytes.length)
      written += writeSync(fd, bytes, written, bytes.length - written, end - pendingBytes + written)
    pending = []
    pendingBytes = 0
  }

  const readInto = (bytes: Buffer, offset: number): number => {
    let read = 0
    while (read < bytes.length) {
      const got = readSync(fd, bytes, read, bytes.length - read, offset + read)
      if (got === 0) break
      read += got
    }
    return read
  }

  return {
    append(line) {
      const length = Buffer.byteLength(line)
      const place = { offset: end, length }
      pending.push(line, '\n')
      pendingBytes += length + 1
      end += length + 1
      if (pendingBytes >= BUFFER_BYTES) flush()
      return place
    },
    readAt({ offset, length }) {
      flush()
      const bytes = Buffer.allocUnsafe(length)
      const read = readInto(bytes, offset)
      if (read < length) throw new Error(`spill ${path} ends before ${offset + length}`)
      return bytes.toString('utf8')
    },
    *lines() {
      flush()
      let rest = Buffer.alloc(0)
      for (let offset = 0; offset < end; ) {
        const bytes = Buffer.allocUnsafe(Math.min(BUFFER_BYTES, end - offset))
        offset += readInto(bytes, offset)
        const block = rest.length > 0 ? Buffer.concat([rest, bytes]) : bytes
        let from = 0
        for (let to = block.indexOf(LINE_END); to >= 0; to = block.indexOf(LINE_END, from)) {
          yield block.toString('utf8', from, to)
          from = to + 1
        }
        rest = block.subarray(from)
      }
    },
    close() {
      closeSync(fd)
    },
  }
}
