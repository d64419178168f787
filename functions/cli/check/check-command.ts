import { Command, Option } from 'commander'
import { EXIT, type ExitStatus } from '../exit-status.ts'
import { createWorkspace } from '../files/workspace.ts'
import type { Surroundings } from '../surroundings.ts'
import { createLineWriter } from '../terminal/line-writer.ts'
import { collect, dayOrInstantMs } from '../terminal/options.ts'
import { createProgress } from '../terminal/progress.ts'
import { jsonReport } from './json-report.ts'
import type { CheckRequest } from './run-check.ts'
import { textReport } from './text-report.ts'

export function checkCommand(around: Surroundings, end: (status: ExitStatus) => void): Command {
  return new Command('check')
    .summary('judge files of surveys, with no service')
    .description(
      'Judges surveys by themselves and against the earlier tests of their electrodes and sites. Needs no service and stores nothing. ' +
        'One record for each survey, each held survey and each refused row.',
    )
    .requiredOption('--register <file>', 'the electrodes (CSV)')
    .requiredOption('--surveys <file>', 'the surveys (CSV); may be given more than once', collect)
    .option('--instruments <file>', 'calibrations of the instruments (CSV)')
    .option('--limits <file>', 'acceptance limits by purpose (CSV)')
    .option('--works <file>', 'work done on electrodes (CSV)')
    .option('--parameters <file>', "an operator's learnt parameters (JSON); else the defaults")
    .option('--as-of <date>', 'look ahead from this day (default: the newest test)', dayOrInstantMs)
    .addOption(
      new Option('--decimal-sign <sign>', 'how the surveys write decimals, where it does not show').choices([
        '.',
        ',',
      ]),
    )
    .option('--date-pattern <pattern>', 'how the surveys write dates, such as DD.MM.YYYY HH:mm')
    .option('--column-map <file>', 'own headings of the surveys and what they mean (JSON)')
    .option('--json', 'one JSON record a line, and nothing else, on standard output')
    .addHelpText(
      'after',
      '\nOne of the files may be - for standard input.\n' +
        '\nExamples:\n' +
        '  $ stakeline check --register electrodes.csv --surveys surveys.csv\n' +
        '  $ stakeline check --register electrodes.csv --surveys - --json < surveys.csv > judged.ndjson\n' +
        '\nExit status: 0 done (findings are no errors), 1 something was refused (the rest is judged), 2 could not run.\n',
    )
    .action(async (options: Omit<CheckRequest, 'asOfMs'> & { asOf?: number; json?: true }) => {
      // Loaded when asked for: help and the other commands start in a third of the time.
      const { runCheck } = await import('./run-check.ts')
      const { asOf, json, ...files } = options
      const workspace = createWorkspace(around)
      try {
        const out = createLineWriter(around.stdout)
        const tally = await runCheck(
          { ...files, ...(asOf === undefined ? {} : { asOfMs: asOf }) },
          {
            around,
            workspace,
            report: json ? jsonReport(out) : textReport(out),
            progress: createProgress(around),
            tell: (message) => around.stderr.write(`${message}\n`),
          },
        )
        end(tally.refusedRows > 0 ? EXIT.refused : EXIT.done)
      } finally {
        workspace.remove()
      }
    })
}
