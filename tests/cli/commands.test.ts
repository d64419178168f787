import { readdir, stat } from 'node:fs/promises'
import { join } from 'node:path'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { readOrMakeKey, verifyToken } from '../../shared-lib/ports/local-tokens.ts'
import { type Folder, folder, stakeline } from './command.ts'

let here: Folder
beforeAll(async () => {
  here = await folder()
})
afterAll(() => here.remove())

describe('help', () => {
  it.each([[[]], [['check']], [['import']], [['plan']], [['token']]])(
    'is there for %j on standard output, with an example',
    async (command) => {
      const { status, stdout, stderr } = await stakeline([...command, '--help'])
      expect({ status, stderr }).toEqual({ status: 0, stderr: '' })
      expect(stdout).toContain(`Usage: ${['stakeline', ...command].join(' ')}`)
      expect(stdout).toContain('Examples:')
      expect(await stakeline([...command, '-h'])).toMatchObject({ stdout })
    },
  )

  it('is told on standard error with status 2 when nothing was asked', async () => {
    const { status, stdout, stderr } = await stakeline([])
    expect({ status, stdout }).toEqual({ status: 2, stdout: '' })
    expect(stderr).toContain('check')
  })

  it('suggests the command that was meant, and does not run it', async () => {
    const { status, stdout, stderr } = await stakeline(['chek', '--json'])
    expect({ status, stdout }).toEqual({ status: 2, stdout: '' })
    expect(stderr).toMatch(/chek[\s\S]*check/)
  })
})

describe('plan', () => {
  it('puts the stakes of a 3 m rod where common practice does (10 times the depth; 52, 62, 72 %)', async () => {
    const { status, stdout, stderr } = await stakeline(['plan', '--kind', 'rod', '--length-m', '3', '--json'])
    expect({ status, stderr }).toEqual({ status: 0, stderr: '' })
    const plan = JSON.parse(stdout)
    expect(plan.currentProbeM).toBe(30)
    expect(plan.short.map((s: { distanceM: number }) => s.distanceM)).toEqual([15.6, 18.6, 21.6])
    expect(plan.full).toHaveLength(9)
    expect(plan.cautions.length).toBeGreaterThan(0)
  })

  it('says for a person how far, what to bring, and what to mind first', async () => {
    const { stdout } = await stakeline(['plan', '--kind', 'rod', '--length-m', '3', '--room-m', '20'])
    expect(stdout).toMatch(/^Current probe at 20 m: 6\.7 times/)
    expect(stdout).toMatch(/With more room: 30 m\./)
    expect(stdout).toMatch(/10\.4 m \(52 %\), 12\.4 m \(62 %\), 14\.4 m \(72 %\)/)
    expect(stdout).toMatch(/locator before a stake is driven/)
  })

  it.each([
    [['--kind', 'rod'], /driven depth/],
    [['--kind', 'rood', '--length-m', '3'], /Allowed choices are rod,/],
    [['--length-m', '3'], /--kind/],
    [['--kind', 'rod', '--length-m', '3,5'], /decimal point, such as 3\.5/],
    [['--kind', 'rod', '--length-m', '-3'], /above 0/],
    [['--kind', 'rod', '--length-m', '3m'], /above 0/],
    [['--kind', 'rod', '--length-m', 'Infinity'], /above 0/],
    [['--kind', 'rod-group', '--length-m', '3', '--count', '2.5'], /whole number/],
  ])('%j is answered with status 2 and what is wanted', async (args, message) => {
    const ended = await stakeline(['plan', ...args])
    expect(ended).toMatchObject({ status: 2, stdout: '' })
    expect(ended.stderr).toMatch(message)
  })
})

describe('token', () => {
  it('prints one bearer token and nothing else, signed with the key of the data folder', async () => {
    const data = join(here.path, 'data')
    const { status, stdout, stderr } = await stakeline(
      ['token', '--role', 'engineer', '--site', 'HILL', '--site', 'VALE', '--email', 'ana@example.org'],
      { env: { STAKELINE_DATA: data } },
    )
    expect({ status, stderr }).toEqual({ status: 0, stderr: '' })
    expect(stdout).toMatch(/^[\w-]+\.[\w-]+\.[\w-]+\n$/)
    const key = await readOrMakeKey(data)
    const token = stdout.trim()
    const person = await verifyToken(key, token, 'bearer', Date.now())
    expect(person).toMatchObject({ role: 'engineer', sites: ['HILL', 'VALE'], email: 'ana@example.org' })
    expect(await verifyToken(key, token, 'session', Date.now())).toBeNull()
    expect(await verifyToken(key, token, 'bearer', Date.now() + 29 * 86_400_000)).not.toBeNull()
    expect(await verifyToken(key, token, 'bearer', Date.now() + 31 * 86_400_000)).toBeNull()
  })

  it('is for all sites unless told, and uses .stakeline/ where nothing else is set', async () => {
    const { stdout } = await stakeline(['token', '--role', 'field'], { cwd: here.path })
    const data = join(here.path, '.stakeline')
    const person = await verifyToken(await readOrMakeKey(data), stdout.trim(), 'bearer', Date.now())
    expect(person).toMatchObject({ role: 'field', sites: '*' })
    const [key] = await readdir(data)
    expect((await stat(join(data, key!))).mode & 0o077).toBe(0)
  })

  it('says what it lacks, and where it cannot write', async () => {
    expect(await stakeline(['token'])).toMatchObject({ status: 2, stdout: '' })
    const none = await stakeline(['token', '--role', 'owner'])
    expect(none).toMatchObject({ status: 2, stdout: '' })
    expect(none.stderr).toMatch(/field, quality, engineer, admin/)
    const file = await here.file('a-file', '')
    const ended = await stakeline(['token', '--role', 'field'], { env: { STAKELINE_DATA: file } })
    expect(ended).toMatchObject({ status: 2, stdout: '' })
    expect(ended.stderr).toMatch(/STAKELINE_DATA/)
  })
})
