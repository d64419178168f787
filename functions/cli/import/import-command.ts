import { Command, Option } from 'commander'
import type { ExitStatus } from '../exit-status.ts'
import type { Surroundings } from '../surroundings.ts'
import type { ImportRequest } from './run-import.ts'
import { TABLES } from './tables.ts'

export function importCommand(around: Surroundings, end: (status: ExitStatus) => void): Command {
  return new Command('import')
    .summary('hand a file of surveys in to a running service')
    .description(
      'Hands a file of surveys in to a running service, waits until it is judged, and tells what became of it. ' +
        'Doing it twice is safe: what is there already is not stored again.',
    )
    .argument('<file>', 'the CSV; - is standard input')
    .requiredOption('--to <url>', 'address of the service, such as http://127.0.0.1:4700')
    .option('--token-file <file>', 'file with the bearer token (else STAKELINE_TOKEN)')
    .addOption(
      new Option(
        '--decimal-sign <sign>',
        'how the file writes decimals, where it does not show by itself',
      ).choices(['.', ',']),
    )
    .option('--date-pattern <pattern>', 'how the file writes dates, such as DD.MM.YYYY HH:mm')
    .option(
      '--column-map <file-or-name>',
      'own headings and what they mean: a JSON file, or a map the service keeps',
    )
    .addOption(
      new Option(
        '--table <table>',
        'hand in a table of the register instead of surveys (needs the role admin)',
      ).choices(TABLES),
    )
    .option('--json', 'the answer of the service as one JSON object')
    .addHelpText(
      'after',
      '\nExamples:\n' +
        '  $ stakeline import surveys.csv --to http://127.0.0.1:4700 --token-file field.token\n' +
        '  $ stakeline import electrodes.csv --table electrodes --to http://127.0.0.1:4700 --token-file admin.token\n' +
        '  $ export-surveys | STAKELINE_TOKEN=… stakeline import - --to https://earths.example.org\n' +
        '\nExit status: 0 all taken in or held, 1 something was refused (the rest is in), 2 could not run.\n',
    )
    .action(async (file: string, options: ImportRequest) => {
      const { runImport } = await import('./run-import.ts')
      end(await runImport(file, options, around))
    })
}
