import { mkdtempSync, readdirSync, rmSync, statSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { describe, expect, it, onTestFinished } from 'vitest'
import { diskArchive } from '../../cdk/local/adapters/disk-archive.ts'

function prepared() {
  const folder = mkdtempSync(join(tmpdir(), 'stakeline-archive-'))
  onTestFinished(() => rmSync(folder, { recursive: true, force: true }))
  return { folder, archive: diskArchive(folder) }
}
async function* chunks(...texts: string[]) {
  for (const text of texts) yield Buffer.from(text)
}
async function textOf(bytes: AsyncIterable<Uint8Array>): Promise<string> {
  const read: Uint8Array[] = []
  for await (const chunk of bytes) read.push(chunk)
  return Buffer.concat(read).toString()
}
const filesIn = (folder: string) =>
  readdirSync(folder, { recursive: true }).filter((f) => statSync(join(folder, String(f))).isFile())

describe('the archive', () => {
  it('gives the bytes back as they came, from the beginning each time', async () => {
    const { archive } = prepared()
    expect(await archive.put('uploads/2026/a.csv', chunks('survey_ref;', 'Ω\r\n', ''))).toBe(15)
    const opened = archive.open('uploads/2026/a.csv')
    expect(await textOf(opened)).toBe('survey_ref;Ω\r\n')
    expect(await textOf(opened)).toBe('survey_ref;Ω\r\n')
    expect(await archive.put('empty', chunks())).toBe(0)
    expect(await textOf(archive.open('empty'))).toBe('')
  })

  it('lets two readers go through one file at their own pace', async () => {
    const { archive } = prepared()
    await archive.put('a', chunks('x'.repeat(300_000)))
    const opened = archive.open('a')
    const [first, second] = await Promise.all([textOf(opened), textOf(opened)])
    expect([first.length, second.length]).toEqual([300_000, 300_000])
  })

  it('throws when the key is not there', async () => {
    await expect(textOf(prepared().archive.open('nothing'))).rejects.toThrow(/ENOENT/)
  })

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
