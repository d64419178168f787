import { openAsBlob } from 'node:fs'
import { CannotRun } from '../exit-status.ts'
import type { InputFile } from '../files/input-file.ts'
import type { DeclaredOptions } from './declared-options.ts'
import { SEND_TIMEOUT_MS } from './send-file.ts'
import { refusalText, type Service } from './service.ts'
import type { TableName } from './tables.ts'
import { type TableStatus, tableStatus } from './upload-status.ts'

/** Hands a table of the register in; the service answers when it is written. Throws {@link CannotRun} with its words when it is not. */
export async function sendTable(
  service: Service,
  table: TableName,
  file: InputFile,
  options: DeclaredOptions,
): Promise<TableStatus> {
  const query = new URLSearchParams({ table, fileName: file.fileName, ...options })
  const answer = await service.ask({
    method: 'POST',
    path: `api/register?${query}`,
    headers: { 'content-type': 'text/csv' },
    body: () => openAsBlob(file.path),
    timeoutMs: SEND_TIMEOUT_MS,
  })
  const read = tableStatus.safeParse(answer.body)
  if (answer.status !== 200 || !read.success) throw new CannotRun(refusalText(answer))
  return read.data
}
