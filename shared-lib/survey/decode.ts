/** Bytes of a CSV file into text. Works on chunks of any size: a character or a line end cut in two comes out whole. */

export type Encoding = 'utf-8' | 'utf-16le' | 'utf-16be' | 'windows-1252'

/** What the first bytes tell: an encoding to try, or that this is another kind of file. */
export type Sniffed = { ok: true; encoding: Encoding } | { ok: false; what: string }

/** Enough for every byte-order mark and signature below, and to see UTF-16 without a mark. */
export const SNIFF_BYTES = 512

const SIGNATURES: { what: string; bytes: number[] }[] = [
  { what: 'a spreadsheet workbook or a ZIP archive', bytes: [0x50, 0x4b, 0x03, 0x04] },
  { what: 'an old spreadsheet workbook', bytes: [0xd0, 0xcf, 0x11, 0xe0] },
  { what: 'a PDF document', bytes: [0x25, 0x50, 0x44, 0x46] },
  { what: 'a compressed file', bytes: [0x1f, 0x8b] },
]

const startsWith = (head: Uint8Array, bytes: readonly number[]) => bytes.every((byte, i) => head[i] === byte)

/**
 * Encoding by byte-order mark, or UTF-16 without one by its zero bytes (a heading row is plain ASCII, so every second byte is
 * zero); else UTF-8 is to be tried, and windows-1252 (which holds Latin-1) when a byte breaks it.
 */
export function sniffEncoding(head: Uint8Array): Sniffed {
  for (const { what, bytes } of SIGNATURES) if (startsWith(head, bytes)) return { ok: false, what }
  if (startsWith(head, [0xff, 0xfe])) return { ok: true, encoding: 'utf-16le' }
  if (startsWith(head, [0xfe, 0xff])) return { ok: true, encoding: 'utf-16be' }
  if (startsWith(head, [0xef, 0xbb, 0xbf])) return { ok: true, encoding: 'utf-8' }
  const pairs = Math.floor(Math.min(head.length, SNIFF_BYTES) / 2)
  let zerosFirst = 0
  let zerosSecond = 0
  for (let i = 0; i < pairs; i++) {
    if (head[2 * i] === 0) zerosFirst++
    if (head[2 * i + 1] === 0) zerosSecond++
  }
  if (pairs > 1 && zerosSecond > pairs * 0.6 && zerosFirst < pairs * 0.2)
    return { ok: true, encoding: 'utf-16le' }
  if (pairs > 1 && zerosFirst > pairs * 0.6 && zerosSecond < pairs * 0.2)
    return { ok: true, encoding: 'utf-16be' }
  if (zerosFirst + zerosSecond > 0) return { ok: false, what: 'a file of another kind' }
  return { ok: true, encoding: 'utf-8' }
}

/** Text comes out with every line end as `\n`, whatever it was, and without a byte-order mark. */
export interface TextDecoding {
  /** Null where the bytes are not in this encoding. */
  push(bytes: Uint8Array): string | null
  end(): string | null
}

export function createTextDecoding(encoding: Encoding): TextDecoding {
  const decoder = new TextDecoder(encoding, { fatal: true })
  // A CR at the end of a chunk waits: an LF may follow.
  let heldReturn = false

  function lineEnds(text: string, last: boolean): string {
    let whole = heldReturn ? `\r${text}` : text
    heldReturn = !last && whole.endsWith('\r')
    if (heldReturn) whole = whole.slice(0, -1)
    return whole.includes('\r') ? whole.replace(/\r\n?/g, '\n') : whole
  }

  function decode(bytes: Uint8Array | undefined): string | null {
    try {
      return lineEnds(bytes ? decoder.decode(bytes, { stream: true }) : decoder.decode(), bytes === undefined)
    } catch {
      return null
    }
  }

  return { push: decode, end: () => decode(undefined) }
}
