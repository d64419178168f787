import { Command } from 'commander'
import { EXIT, type ExitStatus } from '../exit-status.ts'
import { cannotRun } from '../not-possible.ts'
import type { Difference } from '../one-machine.ts'
import type { Surroundings } from '../surroundings.ts'
import { counted, printable } from '../terminal/words.ts'

const lineOf = (d: Difference): string =>
  printable(`${d.subject}${d.surveyRef === null ? '' : ` ${d.surveyRef}`}: ${d.problem}`)

/** `stakeline verify` */
export function verifyCommand(around: Surroundings, end: (status: ExitStatus) => void): Command {
  return new Command('verify')
    .summary('work every judgement out anew and tell what differs from what is stored')
    .description(
      'Works every evaluation and assessment out anew from the stored surveys of this machine (STAKELINE_DATA, default ' +
        '.stakeline/) and tells each that differs from what is stored. The service must be stopped. Changes nothing.',
    )
    .option('--json', 'one JSON record a difference, and one for the totals')
    .addHelpText(
      'after',
      '\nExit status: 0 nothing differs, 1 something differs, 2 could not run.\n' +
        'Electrodes with news that were not compared yet are counted as waiting, not as differing.\n',
    )
    .action(async ({ json }: { json?: boolean }) => {
      const { dataFolder, stdout } = around
      const tell = (d: Difference) => stdout.write(`${json ? JSON.stringify(d) : lineOf(d)}\n`)
      const done = await (await around.oneMachine()).verify(dataFolder, tell)
      if (done.kind !== 'done') return cannotRun(done, { dataFolder, source: dataFolder, target: dataFolder })
      const { electrodes, surveys, differences, waiting } = done
      if (json) stdout.write(`${JSON.stringify({ ...done, kind: 'verified' })}\n`)
      around.stderr.write(
        `${counted(surveys, 'survey')} of ${counted(electrodes, 'electrode')} worked out anew: ${counted(differences, 'difference')}` +
          `${waiting > 0 ? `; ${counted(waiting, 'electrode')} waiting to be compared` : ''}.\n`,
      )
      end(differences > 0 ? EXIT.refused : EXIT.done)
    })
}
