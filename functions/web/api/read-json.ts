import type { Context } from 'hono'
import type { ProblemName, ProblemWords } from '../problems.ts'

/** A survey of hundreds of readings is some 50 kB. */
const MOST_JSON_BYTES = 1_000_000
const DEEPEST = 12

/** A problem as a value: what `problem()` makes the answer of. */
export interface Refusal {
  problem: ProblemName
  words?: ProblemWords
}

/** What a request's body brings up to `mostBytes`, or null when it is larger. Counts while it reads. */
export async function readBytes(c: Context, mostBytes: number): Promise<Uint8Array | null> {
  if (Number(c.req.header('Content-Length') ?? 0) > mostBytes) return null
  const chunks: Uint8Array[] = []
  let length = 0
  for await (const chunk of c.req.raw.body ?? []) {
    length += chunk.byteLength
    if (length > mostBytes) return null
    chunks.push(chunk)
  }
  return Buffer.concat(chunks)
}

/** Nesting past `DEEPEST`, or a key that could reach an object's prototype. Walks without recursion. */
function isUnsafe(json: unknown): boolean {
  const open: { value: unknown; depth: number }[] = [{ value: json, depth: 0 }]
  for (let next = open.pop(); next; next = open.pop()) {
    const { value, depth } = next
    if (value === null || typeof value !== 'object') continue
    if (depth >= DEEPEST || Object.hasOwn(value, '__proto__')) return true
    for (const inner of Object.values(value)) open.push({ value: inner, depth: depth + 1 })
  }
  return false
}

const isJson = (type: string): boolean => /^application\/(?:[\w.+-]+\+)?json(?:\s*;|$)/i.test(type.trim())

/** The request's JSON document, bounded in size and depth, or why it was not read. */
export async function readJson(c: Context): Promise<{ json: unknown } | Refusal> {
  if (!isJson(c.req.header('Content-Type') ?? ''))
    return { problem: 'media-type', words: { detail: 'Send JSON with "Content-Type: application/json".' } }
  const bytes = await readBytes(c, MOST_JSON_BYTES)
  if (!bytes)
    return {
      problem: 'too-large',
      words: {
        detail: `A JSON body may have ${MOST_JSON_BYTES} bytes. Send many surveys as a CSV to /api/uploads.`,
      },
    }
  let json: unknown
  try {
    json = JSON.parse(new TextDecoder('utf-8', { fatal: true }).decode(bytes))
  } catch (error) {
    const why = error instanceof SyntaxError ? error.message : 'The bytes are not UTF-8.'
    return { problem: 'not-readable', words: { detail: `Send one JSON document in UTF-8. ${why}` } }
  }
  if (isUnsafe(json))
    return {
      problem: 'not-readable',
      words: { detail: `The JSON is nested more than ${DEEPEST} deep or has a key "__proto__".` },
    }
  return { json }
}
