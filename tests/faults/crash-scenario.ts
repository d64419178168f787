import { type House, openHouse } from './house.ts'
import { type Act, makeScenario, perform, register } from './scenario.ts'
import { settle } from './settle.ts'

/** What a crash may interrupt: the register, a file, single surveys by API and form, mail, a decision, a late correction of work. */
const scenario = makeScenario(3, 3)
const [first, second, ...rest] = scenario.surveys

export const ACTS: readonly Act[] = [
  { kind: 'upload', surveys: rest },
  { kind: 'json', survey: first! },
  { kind: 'form', survey: second! },
  ...scenario.decisions.map((decision): Act => ({ kind: 'decision', decision })),
]

/**
 * Does what has not been acknowledged yet (`done` is what clients have a receipt for) and comes to rest before the decision and
 * at the end. `acknowledged` is called when an answer is there, before anything else is done.
 */
export async function workOff(
  house: House,
  done: ReadonlySet<number>,
  acknowledged: (act: number) => void,
): Promise<void> {
  const watcher = openHouse(house.world)
  try {
    if (!done.has(-1)) {
      await register(house, scenario.registerCsv)
      acknowledged(-1)
    }
    for (const [i, act] of ACTS.entries()) {
      if (act.kind === 'decision') await settle(house, watcher)
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
