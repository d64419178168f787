import type { Clock } from '../../../shared-lib/ports/clock.ts'
import { type Identity, type Person, SESSION_LIFE_S } from '../../../shared-lib/ports/identity.ts'
import { mintToken, readOrMakeKey, tokenVerifier } from '../../../shared-lib/ports/local-tokens.ts'

export interface LocalIdentity extends Identity {
  /** A bearer token for programs. */
  mintToken(person: Person, lifeS: number): Promise<string>
  /** A token for a sign-in link: it opens a session and is no good for anything else. */
  mintSignIn(person: Person, lifeS: number): Promise<string>
}

/** Who is asking, on one machine: tokens signed with the key file of the data folder, as the command line signs them too. */
export async function localIdentity({
  dataDir,
  clock,
}: {
  dataDir: string
  clock: Clock
}): Promise<LocalIdentity> {
  const key = await readOrMakeKey(dataDir)
  const verify = tokenVerifier(key)
  return {
    async verify(token, uses = ['bearer', 'session']) {
      for (const use of uses) {
        const person = await verify(token, use, clock.nowMs())
        if (person) return person
      }
      return null
    },
    async issueSession(person) {
      const token = await mintToken(key, person, 'session', SESSION_LIFE_S, clock.nowMs())
      return { token, maxAgeS: SESSION_LIFE_S }
    },
    mintToken: (person, lifeS) => mintToken(key, person, 'bearer', lifeS, clock.nowMs()),
    mintSignIn: (person, lifeS) => mintToken(key, person, 'sign-in', lifeS, clock.nowMs()),
  }
}
