import type { Context } from 'hono'
import type { WebDeps } from './deps.ts'
import type { WebEnv } from './web-env.ts'

/** What a CSV answer is called when it is kept. */
const headersOf = (fileName: string) => ({
  'Content-Type': 'text/csv; charset=utf-8',
  'Content-Disposition': `attachment; filename="${fileName}"`,
  'Cache-Control': 'no-store',
  'X-Content-Type-Options': 'nosniff',
})

/**
 * A CSV as it is made. Where answers are bounded (Lambda sends 6 MB at most, and all at once) it is gathered first: null when it is
 * longer, so that nobody takes a part for the whole. Elsewhere it streams, memory does not grow, and a failure on the way breaks the
 * connection off: a short file never looks like a whole one.
 */
export async function csvAnswer(
  c: Context<WebEnv>,
  deps: Pick<WebDeps, 'settings'>,
  fileName: string,
  parts: AsyncIterable<string>,
): Promise<Response | null> {
  const most = deps.settings.longestAnswerBytes
  if (most === undefined)
    return c.body(ReadableStream.from(parts).pipeThrough(new TextEncoderStream()), 200, headersOf(fileName))
  let text = ''
  let bytes = 0
  for await (const part of parts) {
    bytes += Buffer.byteLength(part)
    if (bytes > most) return null
    text += part
  }
  return c.body(text, 200, headersOf(fileName))
}
