import type { OneMachine } from '../../../functions/cli/one-machine.ts'
import { backup, restore } from './backup.ts'
import { verify } from './verify.ts'

/** The data folder of one machine, for the command line. */
export const oneMachine: OneMachine = {
  backup: (dataFolder, folder) => backup(dataFolder, folder, new Date().toISOString()),
  restore: (folder, dataFolder) => restore(folder, dataFolder),
  verify,
}
