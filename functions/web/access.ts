import { type Person, seesSite } from '../../shared-lib/ports/identity.ts'
import type { Electrode } from '../../shared-lib/survey/register.ts'
import type { ProblemName } from './problems.ts'

/**
 * Who may do what, in one place. A person has a role and sites. On top of the site, an engineer with an address sees and decides
 * only the electrodes whose register names that address; an engineer without one (a token made on one machine) stands in for all
 * engineers of the sites on the token.
 */

type Responsible = Pick<Electrode, 'siteId' | 'responsibleEmail' | 'deputyEmail'>

function namedFor(person: Person, electrode: Responsible): boolean {
  const address = person.email?.trim().toLowerCase()
  if (!address) return true
  const named = [electrode.responsibleEmail, electrode.deputyEmail].map((e) => e?.trim().toLowerCase())
  return named.includes(address)
}

/** Why this person may not read this electrode and what is stored about it; null = they may. */
export function barToRead(person: Person, electrode: Responsible): ProblemName | null {
  if (!seesSite(person, electrode.siteId)) return 'site-not-allowed'
  if (person.role === 'engineer' && !namedFor(person, electrode)) return 'electrode-not-yours'
  return null
}

/** Why this person may not decide about this electrode's findings; null = they may. */
export function barToDecide(person: Person, electrode: Responsible): ProblemName | null {
  if (person.role === 'field') return 'role-not-allowed'
  return barToRead(person, electrode)
}

/** Why this person may not change the register of this site; null = they may. */
export function barToRegister(person: Person, siteId: string): ProblemName | null {
  if (person.role !== 'admin') return 'role-not-allowed'
  return seesSite(person, siteId) ? null : 'site-not-allowed'
}

/**
 * Why this person may not change what more than their own sites rely on (instruments and calibrations, column maps, parameters, other
 * people's mail); null = they may. Nobody changes what another site relies on but who answers for all of them.
 */
export function barToFleetWide(person: Person): ProblemName | null {
  return person.sites === '*' ? null : 'all-sites-needed'
}

/** Why this person may not hand in a survey made at this site (null: no site is known yet); null = they may. Any role may. */
export function barToHandIn(person: Person, siteId: string | null): ProblemName | null {
  return siteId === null || seesSite(person, siteId) ? null : 'site-not-allowed'
}

/**
 * May this person see what belongs to no site (yet): held surveys, other people's files, mail? It may be about any site, so only who
 * has all of them; the sender sees it besides.
 */
export function seesBeyondSites(person: Person): boolean {
  return (person.role === 'quality' || person.role === 'admin') && person.sites === '*'
}

/** True when a list of a site's electrodes must be narrowed to those the person is named for. */
export function seesOnlyNamed(person: Person): boolean {
  return person.role === 'engineer' && Boolean(person.email?.trim())
}
