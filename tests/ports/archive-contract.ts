import { describe, expect, it } from 'vitest'
import type { Archive } from '../../shared-lib/ports/archive.ts'

export async function* chunks(...texts: string[]) {
  for (const text of texts) yield Buffer.from(text)
}
export async function textOf(bytes: AsyncIterable<Uint8Array>): Promise<string> {
  const read: Uint8Array[] = []
  for await (const chunk of bytes) read.push(chunk)
  return Buffer.concat(read).toString()
}

/** What every archive must do, wherever it keeps its files. `open` gives a fresh one. */
export function archiveContract(name: string, open: () => Promise<Archive>, missing: RegExp): void {
  describe(name, () => {
    it('gives the bytes back as they came, from the beginning each time', async () => {
      const archive = await open()
      expect(await archive.put('uploads/2026/a.csv', chunks('survey_ref;', 'Ω\r\n', ''))).toBe(15)
      const opened = archive.open('uploads/2026/a.csv')
      expect(await textOf(opened)).toBe('survey_ref;Ω\r\n')
      expect(await textOf(opened)).toBe('survey_ref;Ω\r\n')
      expect(await archive.put('empty', chunks())).toBe(0)
      expect(await textOf(archive.open('empty'))).toBe('')
    })

    it('gives bytes back that are no text', async () => {
      const archive = await open()
      const bytes = Buffer.from(Array.from({ length: 256 }, (_, i) => i))
      await archive.put('a', ReadableStream.from([bytes]))
      const read: Uint8Array[] = []
      for await (const chunk of archive.open('a')) read.push(chunk)
      expect(Buffer.concat(read)).toEqual(bytes)
    })

    it('lets two readers go through one file at their own pace', async () => {
      const archive = await open()
      await archive.put('a', chunks('x'.repeat(300_000)))
      const opened = archive.open('a')
      const [first, second] = await Promise.all([textOf(opened), textOf(opened)])
      expect([first.length, second.length]).toEqual([300_000, 300_000])
    })

    it('lets a reader stop early', async () => {
      const archive = await open()
      await archive.put('a', chunks('x'.repeat(3_000_000)))
      for await (const chunk of archive.open('a')) {
        expect(chunk[0]).toBe('x'.charCodeAt(0))
        break
      }
      expect((await textOf(archive.open('a'))).length).toBe(3_000_000)
    })

    it('throws when the key is not there', async () => {
      await expect(textOf((await open()).open('nothing'))).rejects.toThrow(missing)
    })

    it('keeps the old file when the bytes break off', async () => {
      const archive = await open()
      await archive.put('a', chunks('old'))
      async function* broken() {
        yield Buffer.from('ne')
        throw new Error('connection lost')
      }
      await expect(archive.put('a', broken())).rejects.toThrow('connection lost')
      expect(await textOf(archive.open('a'))).toBe('old')
    })
  })
}
