import { Command } from 'commander'
import { CannotRun, EXIT, type ExitStatus } from '../exit-status.ts'
import { cannotRun } from '../not-possible.ts'
import type { Surroundings } from '../surroundings.ts'
import { counted, printable } from '../terminal/words.ts'

/** `stakeline restore FOLDER` */
export function restoreCommand(around: Surroundings, end: (status: ExitStatus) => void): Command {
  return new Command('restore')
    .summary('bring back what a backup holds')
    .description(
      'Makes the data folder of this machine (STAKELINE_DATA, default .stakeline/) from a backup, checking every file. The data ' +
        'folder must not be there: move the old one away first, nothing is written over.',
    )
    .argument('<folder>', 'a folder made by stakeline backup')
    .addHelpText('after', '\nExample:\n  $ stakeline restore /backups/stakeline-2026-05-04 && npm start\n')
    .action(async (folder: string) => {
      const { dataFolder } = around
      const done = await (await around.oneMachine()).restore(folder, dataFolder)
      if (done.kind === 'damaged')
        throw new CannotRun(
          `The backup is damaged: ${printable(done.file)}: ${done.why}. Nothing was restored; take another backup.`,
        )
      if (done.kind !== 'done') return cannotRun(done, { dataFolder, source: folder, target: dataFolder })
      around.stderr.write(
        `${counted(done.files, 'file')} of ${done.madeAt} brought back to ${dataFolder}. Start the service with npm start.\n`,
      )
      end(EXIT.done)
    })
}
