import { Command } from 'commander'
import { EXIT, type ExitStatus } from '../exit-status.ts'
import { cannotRun } from '../not-possible.ts'
import type { Surroundings } from '../surroundings.ts'
import { counted } from '../terminal/words.ts'

/** `stakeline backup FOLDER` */
export function backupCommand(around: Surroundings, end: (status: ExitStatus) => void): Command {
  return new Command('backup')
    .summary('copy everything the stopped service of this machine has kept')
    .description(
      'Copies everything that the service on this machine has kept (STAKELINE_DATA, default .stakeline/) to a new folder, each file ' +
        'with its checksum. The service must be stopped: only then do its parts belong to the same moment. The copy holds the key ' +
        'that signs tokens, so keep it as safe as the data itself.',
    )
    .argument('<folder>', 'where the copy goes; must not be there yet')
    .addHelpText('after', '\nExample:\n  $ stakeline backup /backups/stakeline-2026-05-04\n')
    .action(async (folder: string) => {
      const { dataFolder } = around
      const done = await (await around.oneMachine()).backup(dataFolder, folder)
      if (done.kind !== 'done') return cannotRun(done, { dataFolder, source: dataFolder, target: folder })
      around.stderr.write(
        `${counted(done.files, 'file')}, ${counted(done.bytes, 'byte')} copied to ${folder}.\n`,
      )
      end(EXIT.done)
    })
}
