import { Command, Option } from 'commander'
import type { PlanRequest } from '../../../shared-lib/plan/plan-survey.ts'
import { ELECTRODE_KINDS } from '../../../shared-lib/survey/register.ts'
import { CannotRun, EXIT, type ExitStatus } from '../exit-status.ts'
import type { Surroundings } from '../surroundings.ts'
import { numberAbove, wholeNumber } from '../terminal/options.ts'
import { planLines } from './plan-lines.ts'

const metres = numberAbove(0, 1e5)

export function planCommand(around: Surroundings, end: (status: ExitStatus) => void): Command {
  return new Command('plan')
    .summary('where the stakes go, what leads to bring')
    .description('Tells where to drive the stakes for a survey, how much lead to bring, and what to mind.')
    .addOption(
      new Option('--kind <kind>', 'what the electrode is').choices(ELECTRODE_KINDS).makeOptionMandatory(),
    )
    .option('--length-m <m>', 'driven depth of a rod, length of a wire', metres)
    .option('--diagonal-m <m>', 'longest dimension of a ring, grid or foundation', metres)
    .option('--area-m2 <m2>', 'area of a grid, ring or foundation', numberAbove(0, 1e8))
    .option('--count <n>', 'how many rods a group has', wholeNumber(1, 10_000))
    .option('--spacing-m <m>', 'distance between the rods of a group', metres)
    .option('--room-m <m>', 'the longest straight line there is room for', metres)
    .option('--json', 'the plan as one JSON object')
    .addHelpText(
      'after',
      '\nExamples:\n' +
        '  $ stakeline plan --kind rod --length-m 3\n' +
        '  $ stakeline plan --kind grid --diagonal-m 30 --room-m 150\n',
    )
    .action(async (options: PlanRequest & { json?: true }) => {
      const { json, ...request } = options
      const { planSurvey } = await import('../../../shared-lib/plan/plan-survey.ts')
      const plan = planSurvey(request)
      if (!plan.ok) throw new CannotRun(plan.problem)
      around.stdout.write(json ? `${JSON.stringify(plan)}\n` : `${planLines(plan).join('\n')}\n`)
      end(EXIT.done)
    })
}
