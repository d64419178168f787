/** The readable part of a message we wrote ourselves (RFC 5322 with MIME, as our mail library composes it). */
export interface ReadMail {
  from: string
  to: string
  subject: string
  /** ISO 8601, or null. */
  date: string | null
  text: string
}

interface Part {
  headers: Map<string, string>
  body: string
}

/**
 * Headers and plain text of a message: multipart bodies, base64 and quoted-printable, RFC 2047 words. Not a mail client: it reads
 * what this service composes, and shows an empty text rather than failing on anything else.
 */
export function readMail(message: string): ReadMail {
  const part = partOf(message.replace(/\r\n/g, '\n'))
  const dateMs = Date.parse(part.headers.get('date') ?? '')
  return {
    from: decodeWords(part.headers.get('from') ?? ''),
    to: decodeWords(part.headers.get('to') ?? ''),
    subject: decodeWords(part.headers.get('subject') ?? '') || 'Without a subject',
    date: Number.isNaN(dateMs) ? null : new Date(dateMs).toISOString(),
    text: plainText(part, 0) ?? '',
  }
}

function partOf(source: string): Part {
  const end = source.indexOf('\n\n')
  const head = end < 0 ? source : source.slice(0, end)
  const headers = new Map<string, string>()
  for (const line of head.replace(/\n[ \t]+/g, ' ').split('\n')) {
    const colon = line.indexOf(':')
    if (colon > 0) headers.set(line.slice(0, colon).trim().toLowerCase(), line.slice(colon + 1).trim())
  }
  return { headers, body: end < 0 ? '' : source.slice(end + 2) }
}

const MOST_NESTED = 5

function plainText(part: Part, depth: number): string | null {
  const type = part.headers.get('content-type') ?? 'text/plain'
  if (/^text\/plain/i.test(type)) return decodeBody(part)
  const boundary = /^multipart\/.*boundary="?([^";]+)"?/is.exec(type)?.[1]
  if (boundary === undefined || depth >= MOST_NESTED) return null
  for (const piece of part.body.split(`--${boundary}`).slice(1)) {
    if (piece.startsWith('--')) break
    const text = plainText(partOf(piece.replace(/^\n/, '')), depth + 1)
    if (text !== null) return text
  }
  return null
}

function decodeBody(part: Part): string {
  const encoding = (part.headers.get('content-transfer-encoding') ?? '').toLowerCase()
  if (encoding === 'base64') return Buffer.from(part.body, 'base64').toString('utf8')
  if (encoding !== 'quoted-printable') return part.body
  return quotedPrintable(part.body.replace(/=[ \t]*\n/g, ''))
}

function quotedPrintable(text: string): string {
  const bytes: number[] = []
  for (let i = 0; i < text.length; i++) {
    const hex = text[i] === '=' ? /^[\da-f]{2}/i.exec(text.slice(i + 1, i + 3))?.[0] : undefined
    if (hex === undefined) bytes.push(...Buffer.from(text[i]!))
    else {
      bytes.push(Number.parseInt(hex, 16))
      i += 2
    }
  }
  return Buffer.from(bytes).toString('utf8')
}

function decodeWords(header: string): string {
  return header
    .replace(/(\?=)\s+(=\?)/g, '$1$2')
    .replace(/=\?utf-8\?([bq])\?([^?]*)\?=/gi, (_, kind: string, text: string) =>
      kind.toLowerCase() === 'b'
        ? Buffer.from(text, 'base64').toString('utf8')
        : quotedPrintable(text.replaceAll('_', ' ')),
    )
}
