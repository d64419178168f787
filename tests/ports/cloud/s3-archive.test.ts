import { describe, expect, it, onTestFinished } from 'vitest'
import { s3Archive, s3ArchiveRemoval } from '../../../shared-lib/ports/cloud/s3-archive.ts'
import { archiveContract, chunks, textOf } from '../archive-contract.ts'
import { bucketDouble, type Trouble } from './bucket-double.ts'

async function opened(trouble?: Trouble) {
  const double = await bucketDouble(trouble)
  onTestFinished(() => double.close())
  const { client, objects } = double
  return {
    archive: s3Archive('archive', client),
    removal: s3ArchiveRemoval('archive', client),
    keys: () => [...objects.keys()],
  }
}

archiveContract(
  'the archive in a bucket',
  async () => (await opened()).archive,
  /specified key does not exist/,
)

describe('the archive in a bucket', () => {
  it('keeps each file under the key it was given, as it is', async () => {
    const { archive, keys } = await opened()
    for (const key of ['uploads/a', 'uploads/a b+c', 'uploads/Ω?x=1']) {
      await archive.put(key, chunks(key))
      expect(await textOf(archive.open(key))).toBe(key)
    }
    expect(keys()).toEqual(['uploads/a', 'uploads/a b+c', 'uploads/Ω?x=1'])
  })

  it('stores nothing of a file whose bytes broke off', async () => {
    const { archive, keys } = await opened()
    async function* broken() {
      yield Buffer.from('half')
      throw new Error('connection lost')
    }
    await expect(archive.put('uploads/a', broken())).rejects.toThrow('connection lost')
    expect(keys()).toEqual([])
  })

  it('does not take a file for whole whose way from the bucket broke off', async () => {
    const { archive } = await opened((response, method) => {
      if (method !== 'GET') return false
      response.writeHead(200, { 'content-length': '1000' })
      response.write('x'.repeat(500))
      setImmediate(() => response.destroy())
      return true
    })
    await archive.put('a', chunks('x'.repeat(1000)))
    await expect(textOf(archive.open('a'))).rejects.toThrow()
  })

  it('tries once more what the bucket could not take for the moment', async () => {
    let asked = 0
    const { archive, keys } = await opened((response) => {
      if (++asked > 1) return false
      response.writeHead(503).end('<Error><Code>SlowDown</Code></Error>')
      return true
    })
    expect(await archive.put('a', chunks('abc'))).toBe(3)
    expect(keys()).toEqual(['a'])
  })

  it('throws what the bucket refuses', async () => {
    const { archive } = await opened((response) => {
      response.writeHead(403).end('<Error><Code>AccessDenied</Code><Message>Access Denied</Message></Error>')
      return true
    })
    await expect(archive.put('a', chunks('abc'))).rejects.toThrow('Access Denied')
    await expect(textOf(archive.open('a'))).rejects.toThrow('Access Denied')
  })

  it('removes one file and no other; one that is not there is no error', async () => {
    const { archive, removal, keys } = await opened()
    await archive.put('uploads/a', chunks('a'))
    await archive.put('uploads/ab', chunks('ab'))
    await removal.remove('uploads/a')
    await removal.remove('uploads/a')
    expect(keys()).toEqual(['uploads/ab'])
  })
})
