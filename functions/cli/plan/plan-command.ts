import { Command, Option } from 'commander'
import type { PlanRequest } from '../../../shared-lib/plan/plan-survey.ts'
import { ELECTRODE_KINDS } from '../../../shared-lib/survey/register.ts'
import { CannotRun, EXIT, type ExitStatus } from '../exit-status.ts'
import type { Surroundings } from '../surroundings.ts'
import { numberAbove, wholeNumber } from '../terminal/options.ts'
import { causeLines, planLines, remedyLines } from './plan-lines.ts'
import { soilOption } from './soil-option.ts'

const metres = numberAbove(0, 1e5)
/** Resistivities given by hand, relative: season and place as for a soil survey. Our own estimate, no source. */
const SOIL_BY_HAND = 0.3

interface PlanOptions extends Omit<PlanRequest, 'soil'> {
  json?: true
  soilOhmM?: number
  lowerOhmM?: number
  layerM?: number
  measuredOhm?: number
  limitOhm?: number
  earlierOhm?: number
}

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
    .option('--diameter-mm <mm>', 'diameter of the rod or wire', numberAbove(0, 10_000))
    .option('--burial-depth-m <m>', 'how deep a wire, ring or grid lies', metres)
    .option('--soil-ohm-m <ohm-m>', 'resistivity of the soil, or of its upper layer', numberAbove(0, 1e6))
    .option('--lower-ohm-m <ohm-m>', 'resistivity below', numberAbove(0, 1e6))
    .option('--layer-m <m>', 'depth of the upper layer', metres)
    .option(
      '--measured-ohm <ohm>',
      'what a failing electrode reads: adds what would help',
      numberAbove(0, 1e9),
    )
    .option('--limit-ohm <ohm>', 'its limit', numberAbove(0, 1e9))
    .option(
      '--earlier-ohm <ohm>',
      'what it read in the test before: a step since then has a cause to be found first',
      numberAbove(0, 1e9),
    )
    .option('--json', 'the plan as one JSON object')
    .addHelpText(
      'after',
      '\nExamples:\n' +
        '  $ stakeline plan --kind rod --length-m 3\n' +
        '  $ stakeline plan --kind grid --diagonal-m 30 --room-m 150\n' +
        '  $ stakeline plan --kind rod --length-m 3 --measured-ohm 33 --limit-ohm 10\n',
    )
    .action(async (options: PlanOptions) => {
      const { json, soilOhmM, lowerOhmM, layerM, measuredOhm, limitOhm, earlierOhm, ...request } = options
      const soil = soilOption({ soilOhmM, lowerOhmM, layerM })
      if ((measuredOhm === undefined) !== (limitOhm === undefined))
        throw new CannotRun('A remedy needs both --measured-ohm and --limit-ohm.')
      if (earlierOhm !== undefined && measuredOhm === undefined)
        throw new CannotRun('A step since an earlier test needs --measured-ohm and --limit-ohm too.')
      const { planSurvey } = await import('../../../shared-lib/plan/plan-survey.ts')
      const plan = planSurvey(soil ? { ...request, soil } : request)
      if (!plan.ok) throw new CannotRun(plan.problem)
      const remedies =
        measuredOhm === undefined || limitOhm === undefined
          ? null
          : (await import('../../../shared-lib/plan/remedies.ts')).remediesFor({
              electrode: { electrodeId: '', siteId: '', ...request },
              measuredOhm,
              limitOhm,
              ...(soil ? { soil: { ...soil, relativeUncertainty: SOIL_BY_HAND } } : {}),
            })
      const causeFirst =
        earlierOhm === undefined || measuredOhm === undefined
          ? null
          : (await import('../../../shared-lib/plan/cause-first.ts')).stepSince(earlierOhm, measuredOhm)
      const found = { ...plan, ...(causeFirst ? { causeFirst } : {}), ...(remedies ? { remedies } : {}) }
      const lines = [
        ...(causeFirst ? causeLines(causeFirst) : []),
        ...planLines(plan),
        ...(remedies ? remedyLines(remedies) : []),
      ]
      around.stdout.write(json ? `${JSON.stringify(found)}\n` : `${lines.join('\n')}\n`)
      end(EXIT.done)
    })
}
