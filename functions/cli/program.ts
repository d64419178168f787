import { Command } from 'commander'
import { backupCommand } from './backup/backup-command.ts'
import { checkCommand } from './check/check-command.ts'
import type { ExitStatus } from './exit-status.ts'
import { importCommand } from './import/import-command.ts'
import { planCommand } from './plan/plan-command.ts'
import { restoreCommand } from './restore/restore-command.ts'
import type { Surroundings } from './surroundings.ts'
import { tokenCommand } from './token/token-command.ts'
import { verifyCommand } from './verify/verify-command.ts'

/**
 * The `stakeline` command line. Each command tells its exit status through `end`; commander's own exits are thrown, so that
 * nothing below main.ts ends the process.
 */
export function createProgram(around: Surroundings, end: (status: ExitStatus) => void): Command {
  const program = new Command('stakeline')
    .description(
      'Judges earth (ground) electrode resistance surveys: by themselves and against earlier tests.',
    )
    .helpOption('-h, --help', 'show this help')
    .helpCommand(false)
    .addHelpText(
      'after',
      '\nExamples:\n' +
        '  $ stakeline check --register electrodes.csv --surveys surveys.csv\n' +
        '  $ stakeline plan --kind rod --length-m 3\n' +
        '\nExit status: 0 done, 1 something was refused (the rest is done), 2 could not run.\n' +
        'Each command has its own --help.\n',
    )
  const commands = [
    checkCommand,
    importCommand,
    planCommand,
    tokenCommand,
    backupCommand,
    restoreCommand,
    verifyCommand,
  ].map((make) => make(around, end))
  for (const command of commands) program.addCommand(command)
  for (const command of [program, ...commands]) {
    command
      .helpOption('-h, --help', 'show this help')
      .exitOverride()
      .configureOutput({
        writeOut: (text) => around.stdout.write(text),
        writeErr: (text) => around.stderr.write(text),
        outputError: (text, write) =>
          write(text.replace(/^error: (\w)/, (_, first: string) => first.toUpperCase())),
      })
    if (command !== program)
      command.showHelpAfterError(`See how it is used: stakeline ${command.name()} --help`)
  }
  program.showHelpAfterError('See all commands: stakeline --help')
  return program
}
