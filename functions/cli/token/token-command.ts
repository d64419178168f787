import { Command, Option } from 'commander'
import { type Person, ROLES, type Role } from '../../../shared-lib/ports/identity.ts'
import { CannotRun, EXIT, type ExitStatus } from '../exit-status.ts'
import type { Surroundings } from '../surroundings.ts'
import { collect, wholeNumber } from '../terminal/options.ts'

interface TokenOptions {
  role: Role
  site?: string[]
  email?: string
  days: number
}

const DAY_S = 86_400
const MAX_DAYS = 3650

/** The person a token speaks for. The id tells who did something, so it names the role and, when given, the address. */
function personOf({ role, site, email }: TokenOptions): Person {
  return {
    id: email ? `local:${role}:${email}` : `local:${role}`,
    name: email ?? `${role} (token)`,
    role,
    sites: site ?? '*',
    ...(email ? { email } : {}),
  }
}

export function tokenCommand(around: Surroundings, end: (status: ExitStatus) => void): Command {
  return new Command('token')
    .summary('print one bearer token for the service on this machine')
    .description(
      'Prints one bearer token for the service on this machine, and nothing else. It is signed with the key file in ' +
        'STAKELINE_DATA (default .stakeline/), so it works beside a running service and after a restart.',
    )
    .addOption(new Option('--role <role>', 'what it may do').choices(ROLES).makeOptionMandatory())
    .option('--site <site>', 'only this site; may be given more than once (default: all)', collect)
    .option(
      '--email <address>',
      'the person: an engineer sees and decides for the electrodes under this address',
    )
    .option('--days <n>', 'how long it is good for', wholeNumber(1, MAX_DAYS), 30)
    .addHelpText(
      'after',
      '\nExamples:\n' +
        '  $ stakeline token --role field --site HILL-3\n' +
        '  $ stakeline token --role admin > admin.token && stakeline import surveys.csv --to http://127.0.0.1:4700 --token-file admin.token\n',
    )
    .action(async (options: TokenOptions) => {
      const { mintToken, readOrMakeKey } = await import('../../../shared-lib/ports/local-tokens.ts')
      const key = await readOrMakeKey(around.dataFolder).catch((error: Error) => {
        throw new CannotRun(
          `The key file in ${around.dataFolder} could not be read or made: ${error.message}\nSet STAKELINE_DATA to the folder of your service.`,
        )
      })
      const token = await mintToken(key, personOf(options), 'bearer', options.days * DAY_S, around.nowMs())
      around.stdout.write(`${token}\n`)
      end(EXIT.done)
    })
}
