/** What came back for a sent survey; null when nothing did. */
export interface RawAnswer {
  status: number
  contentType: string
  body: string
}

export type Answer =
  | {
      kind: 'received'
      receipt: { id: string; receivedAt: string; held: boolean; address: string | null }
    }
  /** The service looked at it and will say the same again: a person must act. */
  | { kind: 'refused'; words: string; mayBeThere: boolean }
  | { kind: 'signed-out'; words: string }
  /** The way or the service failed: try again later. */
  | { kind: 'later'; words: string }

const NOT_OURS =
  'The answer did not come from the service: perhaps a sign-in page of this network. Kept here; tried again by itself.'
const SIGNED_OUT = 'Nobody is signed in here any more. Kept here; it goes by itself after signing in.'
const NO_ANSWER = 'No connection. Kept here; tried again by itself.'

/**
 * Reads an answer and believes only what this service alone can say: a receipt that names the survey's own id. A network that
 * answers 200 with a page of its own, an empty answer or a refusal not in our words change nothing: the survey stays.
 */
export function readAnswer(raw: RawAnswer | null, sent: { id: string; surveyRef: string }): Answer {
  if (raw === null) return { kind: 'later', words: NO_ANSWER }
  const json = raw.contentType.includes('json') ? parsed(raw.body) : null
  if (json === null)
    return {
      kind: 'later',
      words: raw.status >= 500 ? `The service did not answer (${raw.status}).` : NOT_OURS,
    }
  const { receipt } = json
  if (raw.status >= 200 && raw.status < 300) {
    if (!isReceipt(receipt) || receipt.id !== sent.id || receipt.surveyRef !== sent.surveyRef)
      return { kind: 'later', words: NOT_OURS }
    const held = json.kind === 'held'
    const address = held ? heldAddress(json) : surveyAddress(json)
    return { kind: 'received', receipt: { id: receipt.id, receivedAt: receipt.receivedAt, held, address } }
  }
  if (typeof json.type !== 'string' || !json.type.startsWith('/problems/'))
    return { kind: 'later', words: NOT_OURS }
  const words = wordsOf(json)
  const problem = json.type.slice('/problems/'.length)
  if (problem === 'not-signed-in') return { kind: 'signed-out', words: SIGNED_OUT }
  if (problem === 'other-person') return { kind: 'signed-out', words }
  if (raw.status >= 500 || raw.status === 429 || raw.status === 408) return { kind: 'later', words }
  return { kind: 'refused', words, mayBeThere: problem === 'other-content' }
}

type Json = Record<string, unknown>

function parsed(body: string): Json | null {
  try {
    const json: unknown = JSON.parse(body)
    return typeof json === 'object' && json !== null ? (json as Json) : null
  } catch {
    return null
  }
}

function isReceipt(value: unknown): value is { id: string; surveyRef: string; receivedAt: string } {
  const receipt = value as Json | undefined
  return (
    typeof receipt?.id === 'string' &&
    typeof receipt.surveyRef === 'string' &&
    typeof receipt.receivedAt === 'string'
  )
}

/** The service's own sentences, the parts included. */
function wordsOf(json: Json): string {
  const parts = Array.isArray(json.errors) ? (json.errors as Json[]).map((e) => e.detail) : []
  return [json.detail ?? json.title, ...parts].filter((w) => typeof w === 'string').join(' ')
}

const e = encodeURIComponent

function surveyAddress(json: Json): string | null {
  if (typeof json.surveyRef !== 'string' || typeof json.electrodeId !== 'string') return null
  return `/electrodes/${e(json.electrodeId)}/surveys/${e(json.surveyRef)}`
}

function heldAddress(json: Json): string | null {
  if (typeof json.surveyRef !== 'string' || typeof json.electrodeId !== 'string') return null
  return `/held/${e(json.electrodeId)}/${e(json.surveyRef)}`
}
