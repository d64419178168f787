import { openHouse } from './house.ts'
import { type Act, perform, type Scenario } from './scenario.ts'
import { type Delivery, deliverOne, orderlyDelivery, settle } from './settle.ts'
import { type Disturbance, undisturbed } from './steps.ts'
import type { World, Worlds } from './world.ts'

export interface Ran {
  kept: string[]
  world: World
  deadLetters: number
}

const MOST_TRIES = 60

/** Does one act until it is done, as a patient person or a script would. Returns false when there is nothing to decide yet. */
async function untilDone(house: Parameters<typeof perform>[0], act: Act): Promise<boolean> {
  for (let attempt = 0; attempt < MOST_TRIES; attempt++) {
    const acted = await perform(house, act)
    if (acted !== 'again') return acted === 'done'
    house.world.clock.advance(1000)
  }
  throw new Error(`${act.kind} was never done`)
}

/**
 * Runs waves of acts through the whole service: the acts of a wave at the same time and beside the handlers, and after waves named
 * by `restAfter` until nothing waits. Decisions about what is not found yet are made at the end. Returns what is kept at rest.
 */
export async function runScenario(
  worlds: Worlds,
  scenario: Pick<Scenario, 'registerCsv'>,
  waves: readonly (readonly Act[])[],
  how: {
    by?: Disturbance
    delivery?: Delivery
    attempts?: number
    restAfter?: (wave: number) => boolean
  } = {},
): Promise<Ran> {
  const world = await worlds.open()
  const watcher = openHouse(world)
  const house = openHouse(world, how.by ?? undisturbed, how.attempts)
  const delivery = how.delivery ?? orderlyDelivery
  let deadLetters = 0
  const rest = async () => {
    deadLetters += (await settle(house, watcher, delivery)).deadLetters
  }
  try {
    await untilDone(house, { kind: 'register', csv: scenario.registerCsv })
    const later: Act[] = []
    for (const [i, wave] of waves.entries()) {
      const one = async (act: Act) => {
        if (!(await untilDone(house, act))) later.push(act)
      }
      await Promise.all([...wave.map(one), deliverOne(house, delivery)])
      world.clock.advance(1000)
      if (how.restAfter?.(i)) await rest()
    }
    await rest()
    for (const act of later)
      if (!(await untilDone(house, act))) throw new Error('a finding that must be there is not')
    await rest()
    return { kept: await world.kept(), world, deadLetters }
  } finally {
    watcher.close()
    house.close()
    await world.close()
  }
}
