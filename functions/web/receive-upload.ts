import type { Upload } from '../../shared-lib/ledger/kept/upload.ts'
import { newUpload } from '../../shared-lib/ledger/new-upload.ts'
import type { Person } from '../../shared-lib/ports/identity.ts'
import { seesBeyondSites } from './access.ts'
import type { WebDeps } from './deps.ts'

export interface UploadInput {
  fileName: string
  bytes: AsyncIterable<Uint8Array>
  /** Reading options declared with it: decimal sign, date pattern, column map. */
  options: Record<string, unknown>
  mostBytes: number
  /** Given by a ticket; else a fresh one. */
  id?: string
  /** Kept to be looked through first: intake hears of it only when it is handed in (`handInDraft`). */
  draft?: true
  /** The upload whose refused rows these are, mended. */
  mends?: string
}

export type ReceivedUpload = { kind: 'received'; upload: Upload } | { kind: 'too-large' } | { kind: 'empty' }

class TooLarge extends Error {}

async function* upTo(mostBytes: number, bytes: AsyncIterable<Uint8Array>): AsyncIterable<Uint8Array> {
  let length = 0
  for await (const chunk of bytes) {
    length += chunk.byteLength
    if (length > mostBytes) throw new TooLarge()
    yield chunk
  }
}

/**
 * Takes a file in: kept in the archive as it came, written down, sent to intake; in this order, so that an upload that was
 * answered is never lost. Each upload has an id of its own: what makes handing in twice harmless is the surveys' own identity.
 */
export async function receiveUpload(
  deps: WebDeps,
  person: Person,
  input: UploadInput,
): Promise<ReceivedUpload> {
  const id = input.id ?? deps.newId()
  const archiveKey = `uploads/${id}`
  let byteLength: number
  try {
    byteLength = await deps.archive.put(archiveKey, upTo(input.mostBytes, input.bytes))
  } catch (error) {
    if (error instanceof TooLarge) return { kind: 'too-large' }
    throw error
  }
  if (byteLength === 0) return { kind: 'empty' }
  const upload: Upload = {
    ...newUpload({
      id,
      state: input.draft ? 'draft' : 'received',
      fileName: input.fileName,
      archiveKey,
      byteLength,
      by: person.id,
      role: person.role,
      sites: person.sites,
      receivedAt: new Date(deps.clock.nowMs()).toISOString(),
      options: input.options,
    }),
    ...(input.mends === undefined ? {} : { mends: input.mends }),
  }
  await deps.ledger.putUpload(upload)
  if (!input.draft) await deps.intakeQueue.send([{ body: { uploadId: id } }])
  return { kind: 'received', upload }
}

/** Hands a draft in as it is kept. Pressing twice changes nothing: what is no draft any more stays as it is. */
export async function handInDraft(deps: WebDeps, draft: Upload): Promise<void> {
  if (draft.state !== 'draft') return
  const receivedAt = new Date(deps.clock.nowMs()).toISOString()
  if (!(await deps.ledger.changeDraft({ ...draft, state: 'received', receivedAt }))) return
  await deps.intakeQueue.send([{ body: { uploadId: draft.id } }])
}

/** May this person look at this upload? Its refused rows quote what was in the file. A draft is its sender's alone. */
export function seesUpload(person: Person, upload: Upload): boolean {
  return upload.by === person.id || (upload.state !== 'draft' && seesBeyondSites(person))
}
