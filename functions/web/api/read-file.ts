import type { Context } from 'hono'
import { type Refusal, readBytes } from './read-json.ts'
import type { GivenOptions } from './upload-options.ts'

/** Room for a form's other fields and boundaries around the file. */
const FORM_ROOM_BYTES = 250_000
/** What programs and browsers call a CSV. */
const RAW_TYPES = new Set([
  'text/csv',
  'application/csv',
  'text/plain',
  'application/vnd.ms-excel',
  'application/octet-stream',
])

export interface SentFile {
  fileName: string
  /** As it came. Raw bodies stream; a form's file is in memory, bounded. */
  bytes: AsyncIterable<Uint8Array>
  options: GivenOptions
}

async function* streamOf(c: Context): AsyncIterable<Uint8Array> {
  yield* c.req.raw.body ?? []
}

async function fromForm(c: Context, type: string, mostBytes: number): Promise<SentFile | Refusal> {
  const bytes = await readBytes(c, mostBytes + FORM_ROOM_BYTES)
  if (!bytes) return { problem: 'too-large' }
  let form: FormData
  try {
    form = await new Response(bytes as Uint8Array<ArrayBuffer>, {
      headers: { 'Content-Type': type },
    }).formData()
  } catch {
    return {
      problem: 'not-readable',
      words: { detail: 'The multipart form is cut off or has no boundary. Send it again.' },
    }
  }
  const file = [...form.values()].find((value) => value instanceof File)
  if (!file)
    return {
      problem: 'not-as-described',
      words: {
        errors: [
          { pointer: '/file', code: 'missing-value', detail: 'Add the CSV as a form field named "file".' },
        ],
      },
    }
  if (file.size > mostBytes) return { problem: 'too-large' }
  const field = (name: string) => {
    const value = form.get(name)
    return typeof value === 'string' ? value : undefined
  }
  return {
    fileName: file.name,
    bytes: file.stream(),
    options: {
      decimalSign: field('decimalSign'),
      datePattern: field('datePattern'),
      columnMap: field('columnMap'),
    },
  }
}

/** The file of a request: the whole body as `text/csv`, or a form's file. Form fields win over the query. */
export async function readFile(
  c: Context,
  mostBytes: number,
  query: GivenOptions & { fileName?: string | undefined },
): Promise<SentFile | Refusal> {
  const header = c.req.header('Content-Type') ?? ''
  const type = header.split(';', 1)[0]!.trim().toLowerCase()
  if (type === 'multipart/form-data') {
    const sent = await fromForm(c, header, mostBytes)
    if ('problem' in sent) return sent
    const fields = Object.fromEntries(Object.entries(sent.options).filter(([, value]) => value !== undefined))
    return { ...sent, options: { ...query, ...fields } }
  }
  if (!RAW_TYPES.has(type))
    return {
      problem: 'media-type',
      words: {
        detail: 'Send the CSV as "Content-Type: text/csv", or as multipart/form-data with a field "file".',
      },
    }
  if (Number(c.req.header('Content-Length') ?? 0) > mostBytes) return { problem: 'too-large' }
  return { fileName: query.fileName ?? '', bytes: streamOf(c), options: query }
}
