import { readFile } from 'node:fs/promises'
import { Command, Option } from 'commander'
import { CannotRun, EXIT, type ExitStatus } from '../exit-status.ts'
import { openInput } from '../files/input-file.ts'
import { createWorkspace } from '../files/workspace.ts'
import type { Surroundings } from '../surroundings.ts'
import { createProgress } from '../terminal/progress.ts'
import { awaitUpload } from './await-upload.ts'
import { type ReadingOptions, sendFile } from './send-file.ts'
import { createService, serviceUrl } from './service.ts'
import { uploadLines } from './upload-lines.ts'

interface ImportOptions extends ReadingOptions {
  to: string
  tokenFile?: string
  json?: true
}

/** From the file that was named, else from the environment: never from the command line, which others can read. */
async function tokenOf(options: ImportOptions, around: Surroundings): Promise<string> {
  const { tokenFile } = options
  const text = tokenFile
    ? await readFile(tokenFile, 'utf8').catch((error: Error) => {
        throw new CannotRun(`The token file ${tokenFile} could not be read: ${error.message}`)
      })
    : around.token
  const token = text?.trim()
  if (!token)
    throw new CannotRun(
      'A token is needed. Name its file with --token-file, or set STAKELINE_TOKEN; `stakeline token --role field` makes one.',
    )
  if (!/^[\w.~+/=-]+$/.test(token))
    throw new CannotRun('The token must be one line without spaces. Make a new one with `stakeline token`.')
  return token
}

export function importCommand(around: Surroundings, end: (status: ExitStatus) => void): Command {
  return new Command('import')
    .summary('hand a file of surveys in to a running service')
    .description(
      'Hands a file of surveys in to a running service, waits until it is judged, and tells what became of it.\n' +
        'Doing it twice is safe: what is there already is not stored again.',
    )
    .argument('<file>', 'the CSV with the surveys; - is standard input')
    .requiredOption('--to <url>', 'address of the service, such as http://127.0.0.1:4700')
    .option('--token-file <file>', 'file with the bearer token (else STAKELINE_TOKEN)')
    .addOption(
      new Option(
        '--decimal-sign <sign>',
        'how the file writes decimals, where it does not show by itself',
      ).choices(['.', ',']),
    )
    .option('--date-pattern <pattern>', 'how the file writes dates, such as DD.MM.YYYY HH:mm')
    .option('--column-map <name>', 'a column map the service keeps')
    .option('--json', 'the answer of the service as one JSON object')
    .addHelpText(
      'after',
      '\nExamples:\n' +
        '  $ stakeline import surveys.csv --to http://127.0.0.1:4700 --token-file field.token\n' +
        '  $ export-surveys | STAKELINE_TOKEN=… stakeline import - --to https://earths.example.org\n' +
        '\nExit status: 0 all taken in or held, 1 something was refused (the rest is in), 2 could not run.\n',
    )
    .action(async (file: string, options: ImportOptions) => {
      const baseUrl = serviceUrl(options.to)
      const token = await tokenOf(options, around)
      const tell = (message: string): void => {
        around.stderr.write(`${message}\n`)
      }
      tell(`Handing in ${file === '-' ? 'standard input' : file} to ${baseUrl}`)
      const workspace = createWorkspace(around)
      try {
        const input = await openInput(file, around, workspace)
        const service = createService(baseUrl, token, tell)
        const { decimalSign, datePattern, columnMap } = options
        const id = await sendFile(service, input, {
          ...(decimalSign === undefined ? {} : { decimalSign }),
          ...(datePattern === undefined ? {} : { datePattern }),
          ...(columnMap === undefined ? {} : { columnMap }),
        })
        const status = await awaitUpload(service, id, createProgress(around))
        around.stdout.write(
          options.json ? `${JSON.stringify(status)}\n` : `${uploadLines(status, input.name).join('\n')}\n`,
        )
        end(status.state === 'failed' || status.rowsRefused > 0 ? EXIT.refused : EXIT.done)
      } finally {
        workspace.remove()
      }
    })
}
