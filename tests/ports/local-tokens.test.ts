import { chmod, mkdtemp, readdir, readFile, rm, stat, writeFile } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { SignJWT } from 'jose'
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import type { Person } from '../../shared-lib/ports/identity.ts'
import { mintToken, readOrMakeKey, tokenVerifier, verifyToken } from '../../shared-lib/ports/local-tokens.ts'

let folder: string
beforeEach(async () => {
  folder = await mkdtemp(join(tmpdir(), 'stakeline-test-'))
})
afterEach(() => rm(folder, { recursive: true }))

const NOW_MS = Date.parse('2026-05-04T10:20:00Z')
const ana: Person = {
  id: 'local:quality',
  name: 'Ana',
  email: 'ana@example.org',
  role: 'quality',
  sites: ['S-1', 'S-2'],
}

describe('the key file', () => {
  it('is made once, for its owner only, and found again by every later start', async () => {
    const data = join(folder, 'new', 'data')
    const key = await readOrMakeKey(data)
    expect(key.length).toBe(32)
    expect(Buffer.from(await readOrMakeKey(data))).toEqual(Buffer.from(key))
    const [file, ...others] = await readdir(data)
    expect(others).toEqual([])
    expect((await stat(join(data, file!))).mode & 0o777).toBe(0o600)
  })

  it('is the same for all who ask at the same time for the first time', async () => {
    const keys = await Promise.all(Array.from({ length: 20 }, () => readOrMakeKey(folder)))
    expect(new Set(keys.map((k) => Buffer.from(k).toString('hex'))).size).toBe(1)
    expect(await readdir(folder)).toHaveLength(1)
  })

  it('is not used, and not replaced, when it is damaged', async () => {
    await readOrMakeKey(folder)
    const path = join(folder, (await readdir(folder))[0]!)
    await chmod(path, 0o600)
    await writeFile(path, 'short')
    await expect(readOrMakeKey(folder)).rejects.toThrow(/damaged/)
    expect(await readFile(path, 'utf8')).toBe('short')
  })
})

describe('tokens', () => {
  it('give back the person they were made for, with or without address, with sites or all', async () => {
    const key = await readOrMakeKey(folder)
    const everywhere: Person = { id: 'local:admin', name: 'Admin', role: 'admin', sites: '*' }
    for (const person of [ana, everywhere]) {
      const token = await mintToken(key, person, 'bearer', 60, NOW_MS)
      expect(await verifyToken(key, token, 'bearer', NOW_MS + 59_000)).toEqual(person)
    }
  })

  it('are good for one use only', async () => {
    const key = await readOrMakeKey(folder)
    const link = await mintToken(key, ana, 'sign-in', 60, NOW_MS)
    expect(await verifyToken(key, link, 'sign-in', NOW_MS)).toEqual(ana)
    expect(await verifyToken(key, link, 'bearer', NOW_MS)).toBeNull()
    expect(await verifyToken(key, link, 'session', NOW_MS)).toBeNull()
  })

  it('end with their life', async () => {
    const key = await readOrMakeKey(folder)
    const token = await mintToken(key, ana, 'session', 60, NOW_MS)
    expect(await verifyToken(key, token, 'session', NOW_MS + 61_000)).toBeNull()
  })

  it('are refused when forged, changed, unsigned, or not for a person', async () => {
    const key = await readOrMakeKey(folder)
    const other = await readOrMakeKey(join(folder, 'other'))
    const token = await mintToken(key, ana, 'bearer', 60, NOW_MS)
    expect(await verifyToken(other, token, 'bearer', NOW_MS)).toBeNull()
    const [head, body, signature] = token.split('.')
    const raised = Buffer.from(
      Buffer.from(body!, 'base64url').toString().replace('"quality"', '"admin"'),
    ).toString('base64url')
    expect(raised).not.toBe(body)
    expect(await verifyToken(key, `${head}.${raised}.${signature}`, 'bearer', NOW_MS)).toBeNull()
    const none = Buffer.from('{"alg":"none"}').toString('base64url')
    expect(await verifyToken(key, `${none}.${body}.`, 'bearer', NOW_MS)).toBeNull()
    for (const junk of ['', 'abc', 'a.b.c', `${token}x`])
      expect(await verifyToken(key, junk, 'bearer', NOW_MS)).toBeNull()
    const strange = await new SignJWT({ name: 'X', role: 'owner', sites: '*' })
      .setProtectedHeader({ alg: 'HS256' })
      .setIssuer('stakeline')
      .setAudience('bearer')
      .setSubject('x')
      .setExpirationTime(NOW_MS / 1000 + 60)
      .sign(key)
    expect(await verifyToken(key, strange, 'bearer', NOW_MS)).toBeNull()
    const endless = await new SignJWT({ name: 'X', role: 'admin', sites: '*' })
      .setProtectedHeader({ alg: 'HS256' })
      .setIssuer('stakeline')
      .setAudience('bearer')
      .setSubject('x')
      .sign(key)
    expect(await verifyToken(key, endless, 'bearer', NOW_MS)).toBeNull()
  })
})

describe('a verifier that sees many tokens', () => {
  it('gives the same answers the second time: by use, by life, and whatever became of the first answer', async () => {
    const key = await readOrMakeKey(folder)
    const verify = tokenVerifier(key)
    const token = await mintToken(key, ana, 'session', 60, NOW_MS)
    const first = await verify(token, 'session', NOW_MS)
    expect(first).toEqual(ana)
    first!.role = 'admin'
    expect(await verify(token, 'session', NOW_MS + 59_000)).toEqual(ana)
    expect(await verify(token, 'bearer', NOW_MS)).toBeNull()
    expect(await verify(`${token}x`, 'session', NOW_MS)).toBeNull()
    expect(await verify(token, 'session', NOW_MS + 60_000)).toBeNull()
    expect(await verify(token, 'session', NOW_MS + 61_000)).toBeNull()
  })

  it('knows all of more tokens than it keeps in mind', async () => {
    const key = await readOrMakeKey(folder)
    const verify = tokenVerifier(key)
    const tokens = await Promise.all(
      Array.from({ length: 2100 }, (_, n) => mintToken(key, { ...ana, id: `p${n}` }, 'bearer', 60, NOW_MS)),
    )
    for (let round = 0; round < 2; round++)
      for (const [n, token] of tokens.entries())
        expect((await verify(token, 'bearer', NOW_MS))?.id).toBe(`p${n}`)
  })
})
