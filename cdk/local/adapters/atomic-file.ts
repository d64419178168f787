import { randomBytes } from 'node:crypto'
import { mkdir, open, rename, unlink } from 'node:fs/promises'
import { dirname } from 'node:path'

/**
 * Writes a file so that a reader, or the next start after a crash, sees the old one or the new one and nothing between: beside its
 * place, to the disk, then renamed. Returns the number of bytes.
 */
export async function writeAtomically(
  path: string,
  bytes: AsyncIterable<Uint8Array> | Iterable<Uint8Array>,
): Promise<number> {
  await mkdir(dirname(path), { recursive: true })
  const draft = `${path}.${randomBytes(6).toString('hex')}.part`
  let length = 0
  try {
    const file = await open(draft, 'wx', 0o600)
    try {
      for await (const chunk of bytes) {
        let offset = 0
        while (offset < chunk.byteLength) offset += (await file.write(chunk, offset)).bytesWritten
        length += chunk.byteLength
      }
      await file.sync()
    } finally {
      await file.close()
    }
    await rename(draft, path)
  } catch (error) {
    await unlink(draft).catch(() => {})
    throw error
  }
  await syncFolder(dirname(path))
  return length
}

/** The name itself must be on the disk too, not only the bytes. Some systems cannot open a folder: then there is nothing to do. */
async function syncFolder(path: string): Promise<void> {
  const folder = await open(path, 'r').catch(() => null)
  await folder?.sync().catch(() => {})
  await folder?.close()
}
