import type { Context } from 'hono'
import type { ContentfulStatusCode } from 'hono/utils/http-status'

/** One thing that is wrong with what was sent. `pointer` is a JSON pointer (RFC 6901) into the body; '' is the whole body. */
export interface ProblemPart {
  pointer: string
  code: string
  detail: string
}

interface ProblemKind {
  status: ContentfulStatusCode
  /** The same words for every occurrence. */
  title: string
  /** What to do, where the occurrence has nothing more exact to say. */
  detail: string
}

/**
 * Every problem the web app answers with, declared once (RFC 9457). The key is the last part of `type`, which programs branch on;
 * it never changes its meaning. Each is served as text at its own address, `/problems/<key>`.
 */
export const PROBLEMS = {
  'not-readable': {
    status: 400,
    title: 'The body cannot be read',
    detail: 'Send one JSON document in UTF-8.',
  },
  'unknown-cursor': {
    status: 400,
    title: 'The place in the list is not known',
    detail: 'Ask for the first page again, without a cursor.',
  },
  'not-signed-in': {
    status: 401,
    title: 'You are not signed in',
    detail: 'Send "Authorization: Bearer <token>" or sign in. A token may have run out.',
  },
  'role-not-allowed': {
    status: 403,
    title: 'Another role is needed',
    detail: 'Ask someone with the role for it, or sign in with that role.',
  },
  'other-person': {
    status: 403,
    title: 'Somebody else is signed in',
    detail: 'The survey was made by another person. Sign in as that person, and it goes by itself.',
  },
  'site-not-allowed': {
    status: 403,
    title: 'This belongs to another site',
    detail: 'Ask the quality team to add the site to your account.',
  },
  'all-sites-needed': {
    status: 403,
    title: 'This counts for every site',
    detail: 'Ask somebody with the same role who has all sites.',
  },
  'electrode-not-yours': {
    status: 403,
    title: 'Another engineer is responsible for this electrode',
    detail: 'The register names the responsible engineer and the deputy; only they see and decide.',
  },
  'upload-not-yours': {
    status: 403,
    title: 'Somebody else sent this upload',
    detail: 'Its sender sees it, and members of the quality team and administrators who have all sites.',
  },
  'other-origin': {
    status: 403,
    title: 'The request came from another web site',
    detail: 'Open the page on this service and send it from there. Programs use a bearer token.',
  },
  'ticket-not-good': {
    status: 403,
    title: 'The upload ticket is not good, or no longer',
    detail: 'Ask for a new ticket with POST /api/uploads/ticket and send the file within its time.',
  },
  'not-found': {
    status: 404,
    title: 'There is nothing at this address',
    detail: 'Check the address and the id.',
  },
  'method-not-allowed': {
    status: 405,
    title: 'This address takes another method',
    detail: 'The Allow header names the methods it takes.',
  },
  'other-content': {
    status: 409,
    title: 'This survey reference is taken by other content',
    detail: 'Hand a correction in under a new surveyRef and name the old one in "corrects".',
  },
  'decided-meanwhile': {
    status: 409,
    title: 'This finding changed after you looked at it',
    detail: 'Nothing was added. Look at it as it is now ("finding"), then decide again.',
  },
  'too-large': {
    status: 413,
    title: 'The body is too large',
    detail: 'Send it in smaller parts.',
  },
  'media-type': {
    status: 415,
    title: 'The body is of another kind than this address takes',
    detail: 'Set the Content-Type header to what the body is.',
  },
  'too-much-to-send': {
    status: 422,
    title: 'This is more than one answer can hold',
    detail: 'Ask for less at a time. Nothing of it was sent.',
  },
  'not-as-described': {
    status: 422,
    title: 'Something in what was sent must be changed',
    detail: 'Each entry of "errors" says where and what to do.',
  },
  'not-storable': {
    status: 422,
    title: 'An id or a value cannot be stored',
    detail:
      'It is longer than anything stored here, or holds characters an id cannot have. Check the address and the body.',
  },
  'file-refused': {
    status: 422,
    title: 'The file as a whole was refused',
    detail: 'The entry of "refused" without a row says why.',
  },
  'too-many': {
    status: 429,
    title: 'Too many requests in a short time',
    detail: 'Wait as many seconds as Retry-After says, then go on. What was answered before is kept.',
  },
  busy: {
    status: 503,
    title: 'The service is busy',
    detail: 'Send it again in a minute; handing in twice changes nothing.',
  },
  internal: {
    status: 500,
    title: 'Something went wrong here',
    detail: 'Nothing you did. Send it again in a minute; handing in twice changes nothing.',
  },
} as const satisfies Record<string, ProblemKind>

export type ProblemName = keyof typeof PROBLEMS

export interface ProblemWords {
  detail?: string
  errors?: ProblemPart[]
  /** Further members of the problem document. */
  extra?: Record<string, unknown>
  headers?: Record<string, string>
}

/** What HTTP asks of the status itself, whatever form the answer takes. */
export function headersOf(name: ProblemName): Record<string, string> {
  if (name === 'not-signed-in') return { 'WWW-Authenticate': 'Bearer' }
  return name === 'busy' ? { 'Retry-After': '5' } : {}
}

/** The problem document (RFC 9457) as an answer, with the request's id so that support can find it. */
export function problem(c: Context, name: ProblemName, words: ProblemWords = {}): Response {
  const kind: ProblemKind = PROBLEMS[name]
  const document = {
    type: `/problems/${name}`,
    title: kind.title,
    status: kind.status,
    detail: words.detail ?? kind.detail,
    instance: c.req.path,
    requestId: c.get('requestId') as string | undefined,
    ...(words.errors ? { errors: words.errors } : {}),
    ...words.extra,
  }
  return c.body(JSON.stringify(document), kind.status, {
    'Content-Type': 'application/problem+json',
    'Cache-Control': 'no-store',
    ...headersOf(name),
    ...words.headers,
  })
}
