import { EXIT, type ExitStatus } from '../exit-status.ts'
import { openInput } from '../files/input-file.ts'
import { createWorkspace } from '../files/workspace.ts'
import type { Surroundings } from '../surroundings.ts'
import { createProgress } from '../terminal/progress.ts'
import { awaitUpload } from './await-upload.ts'
import { type DeclaredOptions, declaredOptions } from './declared-options.ts'
import { tableLines, uploadLines } from './outcome-lines.ts'
import { sendFile } from './send-file.ts'
import { sendTable } from './send-table.ts'
import { createService, serviceUrl } from './service.ts'
import type { TableName } from './tables.ts'
import { tokenOf } from './token-of.ts'
import type { TableStatus, UploadStatus } from './upload-status.ts'

export interface ImportRequest extends DeclaredOptions {
  to: string
  table?: TableName
  tokenFile?: string
  json?: true
}

/** Hands one file in, waits for what becomes of it, and prints that. */
export async function runImport(
  file: string,
  request: ImportRequest,
  around: Surroundings,
): Promise<ExitStatus> {
  const baseUrl = serviceUrl(request.to)
  const token = await tokenOf(request.tokenFile, around.token)
  const tell = (message: string): void => {
    around.stderr.write(`${message}\n`)
  }
  const print = (status: TableStatus | UploadStatus, lines: string[]): void => {
    around.stdout.write(request.json ? `${JSON.stringify(status)}\n` : `${lines.join('\n')}\n`)
  }
  tell(`Handing in ${file === '-' ? 'standard input' : file} to ${baseUrl}`)
  const workspace = createWorkspace(around)
  try {
    const input = await openInput(file, around, workspace)
    const declared = await declaredOptions(request)
    const service = createService(baseUrl, token, tell)
    if (request.table) {
      const status = await sendTable(service, request.table, input, declared)
      print(status, tableLines(status, input.name))
      return status.rowsRefused > 0 ? EXIT.refused : EXIT.done
    }
    const id = await sendFile(service, input, declared)
    const status = await awaitUpload(service, id, createProgress(around))
    print(status, uploadLines(status, input.name))
    return status.state === 'failed' || status.rowsRefused > 0 ? EXIT.refused : EXIT.done
  } finally {
    workspace.remove()
  }
}
