import { createHash } from 'node:crypto'
import { describe, expect, it, onTestFinished } from 'vitest'
import { s3ExportFiles } from '../../../shared-lib/ports/cloud/s3-export-files.ts'
import { s3ExportLinks } from '../../../shared-lib/ports/cloud/s3-export-links.ts'
import { bucketDouble } from './bucket-double.ts'

const KEY = 'exports/a.csv'
const PIECE = Buffer.alloc(1_000_000, 'row,of,text\r\n')

async function opened() {
  const double = await bucketDouble()
  onTestFinished(() => double.close())
  return { ...double, files: s3ExportFiles('archive', double.client) }
}

async function* pieces(count: number, thenFail = false) {
  for (let i = 0; i < count; i++) yield PIECE
  if (thenFail) throw new Error('the table did not answer')
}

describe('exports in a bucket', () => {
  it('are sent part by part, however long they are, and are the same when they are whole', async () => {
    const { files, objects, largestPartBytes } = await opened()
    expect(await files.put(KEY, pieces(30))).toBe(30_000_000)
    const digest = (bytes: Buffer) => createHash('sha256').update(bytes).digest('hex')
    expect(digest(objects.get(KEY)!)).toBe(digest(Buffer.concat(Array(30).fill(PIECE))))
    expect(largestPartBytes()).toBeLessThanOrEqual(8 * 1024 * 1024)
  })

  it('leave nothing behind when the bytes break off, neither a file nor parts', async () => {
    for (const count of [1, 20]) {
      const { files, objects, partsLeft } = await opened()
      await expect(files.put(KEY, pieces(count, true))).rejects.toThrow('the table did not answer')
      expect([...objects.keys()]).toEqual([])
      expect(partsLeft()).toBe(0)
    }
  })

  it('are read by an address of their own as a download that no cache keeps', async () => {
    const { files, client } = await opened()
    await files.put(KEY, pieces(1))
    const how = { fileName: 'sur"veys.csv', lifeS: 60 }
    const address = new URL(await s3ExportLinks('archive', client).linkTo(KEY, how))
    expect(address.searchParams.get('X-Amz-Expires')).toBe('60')
    expect(address.searchParams.get('response-content-disposition')).toBe(
      'attachment; filename="surveys.csv"',
    )
    expect(address.searchParams.get('response-cache-control')).toBe('no-store')
    expect((await (await fetch(address)).arrayBuffer()).byteLength).toBe(PIECE.byteLength)
  })
})
