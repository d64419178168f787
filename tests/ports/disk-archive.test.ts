import { mkdtempSync, readdirSync, rmSync, statSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { describe, expect, it, onTestFinished } from 'vitest'
import { diskArchive } from '../../cdk/local/adapters/disk-archive.ts'
import { archiveContract, chunks, textOf } from './archive-contract.ts'

function prepared() {
  const folder = mkdtempSync(join(tmpdir(), 'stakeline-archive-'))
  onTestFinished(() => rmSync(folder, { recursive: true, force: true }))
  return { folder, archive: diskArchive(folder) }
}
const filesIn = (folder: string) =>
  readdirSync(folder, { recursive: true }).filter((f) => statSync(join(folder, String(f))).isFile())

archiveContract('the archive on disk', async () => prepared().archive, /ENOENT/)

describe('the archive on disk', () => {
  it('keeps the old file and leaves no rest when the bytes break off', async () => {
    const { archive, folder } = prepared()
    await archive.put('a', chunks('old'))
    async function* broken() {
      yield Buffer.from('ne')
      throw new Error('connection lost')
    }
    await expect(archive.put('a', broken())).rejects.toThrow('connection lost')
    expect(await textOf(archive.open('a'))).toBe('old')
    expect(filesIn(folder)).toEqual(['a'])
  })

  it('survives the same key from two hands at once', async () => {
    const { archive, folder } = prepared()
    await Promise.all(Array.from({ length: 8 }, () => archive.put('a', chunks('same', ' bytes'))))
    expect(await textOf(archive.open('a'))).toBe('same bytes')
    expect(filesIn(folder)).toEqual(['a'])
  })

  const tricks = [
    '',
    '.',
    '..',
    '../a',
    'a/../../b',
    '/etc/passwd',
    'a//b',
    'a/',
    'a\\b',
    'a\0b',
    '.hidden',
    'a/.b',
    'C:x',
    'ä',
    'x'.repeat(600),
  ]
  it.each(tricks)('refuses %j as a key, for writing and reading', async (key) => {
    const { archive, folder } = prepared()
    await expect(archive.put(key, chunks('x'))).rejects.toThrow(TypeError)
    expect(() => archive.open(key)).toThrow(TypeError)
    expect(filesIn(folder)).toEqual([])
  })
})
