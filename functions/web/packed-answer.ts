import { promisify } from 'node:util'
import { brotliCompress, gzip } from 'node:zlib'
import type { Context } from 'hono'

const pack = { br: promisify(brotliCompress), gzip: promisify(gzip) }
const packed = new WeakMap<object, Map<string, Promise<Uint8Array<ArrayBuffer>>>>()

/** A text that never changes while the process runs. */
export interface FixedText {
  text: string
  headers: Record<string, string>
}

/** The tightest packing that the browser names; null when it names none of ours. Brotli is offered over secure connections only. */
function packingOf(accepted: string): keyof typeof pack | null {
  const names = accepted.split(',').map((part) => part.split(';')[0]!.trim())
  return names.includes('br') ? 'br' : names.includes('gzip') ? 'gzip' : null
}

/**
 * One of the few fixed texts of the service (scripts, stylesheet, manifest) as an answer, packed once for as long as
 * the same object is asked for. Not for pages: those are made anew each time.
 */
export async function answerPacked(c: Context, file: FixedText): Promise<Response> {
  const headers = { ...file.headers, 'X-Content-Type-Options': 'nosniff', Vary: 'Accept-Encoding' }
  const packing = packingOf(c.req.header('Accept-Encoding') ?? '')
  if (packing === null) return c.body(file.text, 200, headers)
  const kept = packed.get(file) ?? new Map()
  packed.set(file, kept)
  let body = kept.get(packing)
  if (!body) {
    body = pack[packing](file.text).then((bytes) => new Uint8Array(bytes))
    kept.set(packing, body)
  }
  return c.body(await body, 200, { ...headers, 'Content-Encoding': packing })
}
