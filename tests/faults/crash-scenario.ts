import { type House, openHouse } from './house.ts'
import { type Act, makeScenario, perform } from './scenario.ts'
import { settle } from './settle.ts'

const scenario = makeScenario(3, 3)
const [first, second, ...rest] = scenario.surveys
/** Tested before it was registered: its survey is held. */
const stranger = { ...first!, surveyRef: 'LATE-1', electrodeId: 'T-90' }
const heading = scenario.registerCsv.slice(0, scenario.registerCsv.indexOf('\n') + 1)

/** What a crash may interrupt: the register, a file, single surveys by API and form, one that is held and released, a decision. */
const ACTS: readonly Act[] = [
  { kind: 'register', csv: scenario.registerCsv },
  { kind: 'upload', surveys: rest },
  { kind: 'json', survey: first! },
  { kind: 'form', survey: second! },
  { kind: 'json', survey: stranger },
  { kind: 'register', csv: `${heading}T-90,TS-0,rod,3,16,25,engineer0@example.org,12\n` },
  ...scenario.decisions.map((decision): Act => ({ kind: 'decision', decision })),
]

/**
 * Does what has not been acknowledged yet (`done` is what clients have a receipt for) and comes to rest before the decision and
 * at the end. `acknowledged` is called when an answer is there, before anything else is done. One sweep goes on in between.
 */
export async function workOff(
  house: House,
  done: ReadonlySet<number>,
  acknowledged: (act: number) => void,
): Promise<void> {
  const watcher = openHouse(house.world)
  try {
    for (const [i, act] of ACTS.entries()) {
      if (act.kind === 'decision') {
        await house.sweep(0)
        await settle(house, watcher)
      }
      if (done.has(i)) continue
      const acted = await perform(house, act)
      if (acted !== 'done') throw new Error(`${act.kind} ended ${acted}`)
      acknowledged(i)
    }
    await settle(house, watcher)
  } finally {
    watcher.close()
  }
}
