import type { Context } from 'hono'
import { deleteCookie, getCookie, setCookie } from 'hono/cookie'
import { jwtVerify, SignJWT } from 'jose'
import * as z from 'zod/mini'
import type { SessionKeys } from '../../../shared-lib/ports/cloud/session-keys.ts'

/** What must be remembered between leaving for the provider and coming back. */
const transaction = z.object({
  state: z.string(),
  nonce: z.string(),
  codeVerifier: z.string(),
  back: z.string(),
})
export type Transaction = z.output<typeof transaction>

const COOKIE = 'stakeline_signing_in'
const PATH = '/sign-in'
/** Time to find the password and the second factor. */
const LIFE_S = 15 * 60

/** Keeps it in a signed cookie of this browser, so that any copy of the function can go on with it. */
export async function keepTransaction(
  c: Context,
  keys: SessionKeys,
  what: Transaction,
  { nowMs, secure }: { nowMs: number; secure: boolean },
): Promise<void> {
  const [key] = await keys()
  if (!key) throw new Error('The secret of the session key is empty.')
  const token = await new SignJWT({ ...what })
    .setProtectedHeader({ alg: 'HS256' })
    .setAudience('signing-in')
    .setExpirationTime(Math.floor(nowMs / 1000) + LIFE_S)
    .sign(key)
  setCookie(c, COOKIE, token, { httpOnly: true, sameSite: 'Lax', secure, path: PATH, maxAge: LIFE_S })
}

/** Takes it out of the cookie, once; null when there is none, or it is not ours, or too old. */
export async function takeTransaction(
  c: Context,
  keys: SessionKeys,
  { nowMs, secure }: { nowMs: number; secure: boolean },
): Promise<Transaction | null> {
  const token = getCookie(c, COOKIE)
  deleteCookie(c, COOKIE, { path: PATH, secure })
  if (!token) return null
  for (const key of await keys()) {
    try {
      const { payload } = await jwtVerify(token, key, {
        algorithms: ['HS256'],
        audience: 'signing-in',
        currentDate: new Date(nowMs),
        requiredClaims: ['exp'],
      })
      return transaction.parse(payload)
    } catch {
      // Signed with another of our keys, or not by us.
    }
  }
  return null
}
