import type { Context } from 'hono'
import type { WebDeps } from './deps.ts'
import type { WebEnv } from './web-env.ts'

/** How a CSV is kept; what a file name could be refused for is left out of it. */
const headersOf = (fileName: string) => ({
  'Content-Type': 'text/csv; charset=utf-8',
  'Content-Disposition': `attachment; filename="${fileName.replace(/[^\w.-]/g, '')}"`,
  'Cache-Control': 'no-store',
  'X-Content-Type-Options': 'nosniff',
})

/** A short CSV that is there already. */
export const csvText = (c: Context<WebEnv>, fileName: string, text: string): Response =>
  c.body(text, 200, headersOf(fileName))

/**
 * A CSV as it is made. Where answers are bounded (Lambda sends 6 MB at most, and all at once) it is gathered first: null when it is
 * longer, so that nobody takes a part for the whole. Elsewhere it streams, memory does not grow, and a failure on the way breaks the
 * connection off: a short file never looks like a whole one.
 */
export async function csvParts(
  c: Context<WebEnv>,
  deps: Pick<WebDeps, 'exports'>,
  fileName: string,
  parts: AsyncIterable<string>,
): Promise<Response | null> {
  const most = deps.exports?.longestAnswerBytes
  if (most === undefined)
    return c.body(ReadableStream.from(parts).pipeThrough(new TextEncoderStream()), 200, headersOf(fileName))
  let text = ''
  let bytes = 0
  for await (const part of parts) {
    bytes += Buffer.byteLength(part)
    if (bytes > most) return null
    text += part
  }
  return csvText(c, fileName, text)
}
