import { readFile } from 'node:fs/promises'
import { join } from 'node:path'
import * as z from 'zod'

export const MANIFEST = 'backup.json'
const FORMAT = 1

/** A path that stays below its folder, whatever wrote it. */
const below = z
  .string()
  .regex(/^[^\\\0]+$/)
  .refine((path) => path.split('/').every((name) => name !== '' && name !== '.' && name !== '..'))

const manifest = z.object({
  format: z.literal(FORMAT),
  madeAt: z.string(),
  files: z.array(
    z.object({ path: below, bytes: z.number().int().nonnegative(), sha256: z.string().length(64) }),
  ),
})
export type Manifest = z.infer<typeof manifest>

export const newManifest = (madeAt: string, files: Manifest['files']): Manifest => ({
  format: FORMAT,
  madeAt,
  files,
})

/** The list of a backup; null when there is none or it is none that this program reads. */
export async function readManifest(folder: string): Promise<Manifest | null> {
  const text = await readFile(join(folder, MANIFEST), 'utf8').catch(() => null)
  if (text === null) return null
  try {
    const read = manifest.safeParse(JSON.parse(text))
    return read.success ? read.data : null
  } catch {
    return null
  }
}
