import { createTextDecoding, type Encoding, SNIFF_BYTES, type Sniffed, sniffEncoding } from './decode.ts'

/** A file that can be read from its beginning as often as needed: once to look it through, once to read it. */
export type OpenSource = () => AsyncIterable<Uint8Array>

const SLICE_BYTES = 256 * 1024

/** Encoding of the file by its first bytes. */
export async function sniffSource(open: OpenSource): Promise<Sniffed> {
  const head: number[] = []
  for await (const chunk of open()) {
    for (const byte of chunk.subarray(0, SNIFF_BYTES - head.length)) head.push(byte)
    if (head.length >= SNIFF_BYTES) break
  }
  return sniffEncoding(Uint8Array.from(head))
}

/** The file's text in pieces; null once, and the end, where the bytes are not in this encoding. */
export async function* textOf(open: OpenSource, encoding: Encoding): AsyncGenerator<string | null> {
  const decoding = createTextDecoding(encoding)
  for await (const chunk of open()) {
    // A whole file in one chunk is taken in slices too, so that what is made of it stays small.
    for (let at = 0; at < chunk.length; at += SLICE_BYTES) {
      const text = decoding.push(chunk.subarray(at, at + SLICE_BYTES))
      yield text
      if (text === null) return
    }
  }
  yield decoding.end()
}

/** Text already at hand, made ready as the decoder does: no byte-order mark, every line end `\n`. */
export const plainText = (text: string): string => text.replace(/^\ufeff/, '').replace(/\r\n?/g, '\n')

/** A source over bytes in memory. */
export const sourceOf = (bytes: Uint8Array): OpenSource =>
  async function* () {
    yield bytes
  }
