import { createHmac } from 'node:crypto'
import { mkdtempSync, readFileSync, rmSync, statSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { UnsecuredJWT } from 'jose'
import { beforeEach, describe, expect, it, onTestFinished } from 'vitest'
import { type LocalIdentity, localIdentity } from '../../cdk/local/adapters/local-identity.ts'
import type { Person } from '../../shared-lib/ports/identity.ts'
import { handClock } from './queue-folder.ts'

const person: Person = {
  id: 'local:field',
  name: 'Crew B',
  role: 'field',
  sites: ['HILL-3'],
  email: 'b@example.org',
}
let identity: LocalIdentity
let clock: ReturnType<typeof handClock>
let dataDir: string

beforeEach(async () => {
  dataDir = mkdtempSync(join(tmpdir(), 'stakeline-identity-'))
  clock = handClock(Date.UTC(2026, 4, 4))
  identity = await localIdentity({ dataDir, clock })
  onTestFinished(() => rmSync(dataDir, { recursive: true, force: true }))
})
const encoded = (value: unknown) => Buffer.from(JSON.stringify(value)).toString('base64url')

describe('who is asking', () => {
  it('is known by a bearer token and by a session, with role and sites', async () => {
    expect(await identity.verify(await identity.mintToken(person, 60))).toEqual(person)
    const { token, maxAgeS } = await identity.issueSession(person)
    expect(maxAgeS).toBeGreaterThan(3600)
    expect(await identity.verify(token)).toEqual(person)
  })

  it('is known after a restart, and not in another data folder', async () => {
    const token = await identity.mintToken(person, 60)
    expect(await (await localIdentity({ dataDir, clock })).verify(token)).toEqual(person)
    const other = mkdtempSync(join(tmpdir(), 'stakeline-identity-'))
    expect(await (await localIdentity({ dataDir: other, clock })).verify(token)).toBeNull()
    rmSync(other, { recursive: true })
  })

  it('is not known any more when the token has run out', async () => {
    const token = await identity.mintToken(person, 60)
    clock.move(59_000)
    expect(await identity.verify(token)).toEqual(person)
    clock.move(1_000)
    expect(await identity.verify(token)).toBeNull()
  })

  it('is not known by a token made for another use', async () => {
    const bearer = await identity.mintToken(person, 60)
    const { token: session } = await identity.issueSession(person)
    const link = await identity.mintSignIn(person, 60)
    const goodFor = async (token: string) =>
      (
        await Promise.all(
          (['bearer', 'session', 'sign-in'] as const).map(async (use) =>
            (await identity.verify(token, [use])) ? use : [],
          ),
        )
      ).flat()
    expect(await goodFor(bearer)).toEqual(['bearer'])
    expect(await goodFor(session)).toEqual(['session'])
    expect(await goodFor(link)).toEqual(['sign-in'])
    expect(await identity.verify(link)).toBeNull()
  })

  it('is not known by a forged token', async () => {
    const token = await identity.mintToken(person, 60)
    const [header, payload, signature] = token.split('.') as [string, string, string]
    const claims = JSON.parse(Buffer.from(payload, 'base64url').toString())
    const admin = encoded({ ...claims, role: 'admin', sites: '*' })
    const key = readFileSync(join(dataDir, 'token.key'), 'utf8').trim()
    const signed = (h: object, body: string, secret: Buffer | string) => {
      const text = `${encoded(h)}.${body}`
      return `${text}.${createHmac('sha256', secret).update(text).digest('base64url')}`
    }
    const forged = {
      'a changed payload under the old signature': `${header}.${admin}.${signature}`,
      'no signature': `${header}.${admin}.`,
      'algorithm none': new UnsecuredJWT({ ...claims, role: 'admin' }).encode(),
      'signed with an empty key': signed({ alg: 'HS256' }, admin, ''),
      'signed with the key file as text': signed({ alg: 'HS256' }, admin, key),
      'another algorithm in the header': signed({ alg: 'HS512' }, admin, Buffer.from(key, 'base64url')),
      'a role that does not exist': signed(
        { alg: 'HS256' },
        encoded({ ...claims, role: 'owner' }),
        Buffer.from(key, 'base64url'),
      ),
      'no sites': signed(
        { alg: 'HS256' },
        encoded({ ...claims, sites: undefined }),
        Buffer.from(key, 'base64url'),
      ),
      'no expiry': signed(
        { alg: 'HS256' },
        encoded({ ...claims, exp: undefined }),
        Buffer.from(key, 'base64url'),
      ),
      'two audiences swapped for one': signed(
        { alg: 'HS256' },
        encoded({ ...claims, aud: 'sign-in' }),
        Buffer.from(key, 'base64url'),
      ),
      nothing: '',
      rubbish: 'a.b.c',
      'a very long text': 'x'.repeat(100_000),
    }
    for (const [what, bad] of Object.entries(forged)) expect(await identity.verify(bad), what).toBeNull()
    // The same way of signing, with everything right: so the refusals above are not for the way.
    expect(await identity.verify(signed({ alg: 'HS256' }, payload, Buffer.from(key, 'base64url')))).toEqual(
      person,
    )
  })

  it('has a key file that only its owner can read', () => {
    expect(statSync(join(dataDir, 'token.key')).mode & 0o777).toBe(0o600)
  })
})
