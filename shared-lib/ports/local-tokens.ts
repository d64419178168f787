import { randomBytes, randomUUID } from 'node:crypto'
import { link, mkdir, open, readFile, unlink } from 'node:fs/promises'
import { join } from 'node:path'
import { jwtVerify, SignJWT } from 'jose'
import * as z from 'zod/mini'
import { type Person, ROLES } from './identity.ts'

/**
 * Tokens on one machine: signed with a key file in the data folder, so that the service and the command line agree without
 * talking to each other, and a token outlives a restart. Who can read the key file can be anyone: it is made with mode 0600.
 */

/** What a token is for. One made for one use is not good for another. */
const TOKEN_USES = ['bearer', 'session', 'sign-in'] as const
export type TokenUse = (typeof TOKEN_USES)[number]

const ISSUER = 'stakeline'
const ALGORITHM = 'HS256'
const KEY_BYTES = 32
const KEY_FILE = 'token.key'
/** About a megabyte of tokens. */
const MOST_KEPT_IN_MIND = 2000

const personInToken = z.object({
  sub: z.string().check(z.minLength(1)),
  name: z.string(),
  email: z.optional(z.string()),
  role: z.enum(ROLES),
  sites: z.union([z.literal('*'), z.array(z.string().check(z.minLength(1)))]),
})

function isErrno(error: unknown, code: string): boolean {
  return error instanceof Error && 'code' in error && error.code === code
}

async function readKey(path: string): Promise<Uint8Array | null> {
  try {
    const key = Buffer.from((await readFile(path, 'utf8')).trim(), 'base64url')
    if (key.length < KEY_BYTES)
      throw new Error(
        `The key file ${path} is damaged: move it away, and the next start makes a new one (all tokens end then).`,
      )
    return key
  } catch (error) {
    if (isErrno(error, 'ENOENT')) return null
    throw error
  }
}

/** Writes a whole key beside its place and links it in: readers see all of it or nothing, and the first writer wins. */
async function makeKey(path: string): Promise<void> {
  const draft = `${path}.${process.pid}.${randomBytes(6).toString('hex')}`
  const file = await open(draft, 'wx', 0o600)
  try {
    await file.writeFile(`${randomBytes(KEY_BYTES).toString('base64url')}\n`)
    await file.sync()
  } finally {
    await file.close()
  }
  try {
    await link(draft, path)
  } catch (error) {
    if (!isErrno(error, 'EEXIST')) throw error
  } finally {
    await unlink(draft)
  }
}

/**
 * The signing key of a data folder, made (with the folder) on first use. Any number of processes may ask at once: all get the
 * same key. Throws when the folder cannot be written or the file is damaged.
 */
export async function readOrMakeKey(dataFolder: string): Promise<Uint8Array> {
  await mkdir(dataFolder, { recursive: true })
  const path = join(dataFolder, KEY_FILE)
  const known = await readKey(path)
  if (known) return known
  await makeKey(path)
  const made = await readKey(path)
  if (!made) throw new Error(`The key file ${path} was removed while it was being made.`)
  return made
}

/** A signed token (JWT, HS256) that says who the person is, good for one use and for `lifeS` seconds from `nowMs`. */
export async function mintToken(
  key: Uint8Array,
  person: Person,
  use: TokenUse,
  lifeS: number,
  nowMs: number,
): Promise<string> {
  const issuedAtS = Math.floor(nowMs / 1000)
  const { id, ...words } = person
  return (
    new SignJWT({ ...words })
      .setProtectedHeader({ alg: ALGORITHM })
      .setIssuer(ISSUER)
      .setAudience(use)
      .setSubject(id)
      // So that ending one session ends no other that was begun in the same second.
      .setJti(randomUUID())
      .setIssuedAt(issuedAtS)
      .setExpirationTime(issuedAtS + lifeS)
      .sign(key)
  )
}

/** The person in a token, and when it ends; null when it is forged, damaged, expired at `nowMs`, or made for another use. */
async function readToken(
  key: Uint8Array,
  token: string,
  use: TokenUse,
  nowMs: number,
): Promise<{ person: Person; endsAtS: number } | null> {
  try {
    const { payload } = await jwtVerify(token, key, {
      algorithms: [ALGORITHM],
      issuer: ISSUER,
      audience: use,
      currentDate: new Date(nowMs),
      requiredClaims: ['exp', 'sub'],
    })
    const read = personInToken.safeParse(payload)
    if (!read.success) return null
    const { sub, name, email, role, sites } = read.data
    const person = { id: sub, name, role, sites, ...(email === undefined ? {} : { email }) }
    return { person, endsAtS: payload.exp! }
  } catch {
    return null
  }
}

type VerifyToken = (token: string, use: TokenUse, nowMs: number) => Promise<Person | null>

/**
 * Verifies tokens of this key: the person, or null when one is forged, damaged, expired at `nowMs`, or made for another use. Of the
 * latest good ones it is kept in mind, until they end, that they were good: a phone shows the same token with every request.
 */
export function tokenVerifier(key: Uint8Array): VerifyToken {
  const good = new Map<string, { person: Person; endsAtS: number }>()
  return async (token, use, nowMs) => {
    const name = `${use} ${token}`
    const known = good.get(name)
    if (known && Math.floor(nowMs / 1000) < known.endsAtS) return structuredClone(known.person)
    good.delete(name)
    const read = await readToken(key, token, use, nowMs)
    if (!read) return null
    good.set(name, read)
    if (good.size > MOST_KEPT_IN_MIND) good.delete(good.keys().next().value!)
    return structuredClone(read.person)
  }
}

/** The same for one token and then no more. */
export const verifyToken = (key: Uint8Array, ...asked: Parameters<VerifyToken>): Promise<Person | null> =>
  tokenVerifier(key)(...asked)
