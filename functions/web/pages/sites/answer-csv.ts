import type { Context } from 'hono'

/** A CSV text to be kept as a file; what a file name could be refused for is left out of `name`. */
export function answerCsv(c: Context, name: string, text: string): Response {
  return c.body(text, 200, {
    'Content-Type': 'text/csv; charset=utf-8',
    'Content-Disposition': `attachment; filename="${name.replace(/[^\w.-]/g, '')}"`,
    'Cache-Control': 'no-store',
    'X-Content-Type-Options': 'nosniff',
  })
}
