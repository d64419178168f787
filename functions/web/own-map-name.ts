import type { Person } from '../../shared-lib/ports/identity.ts'

const OF = 'columns of '

/** Name under which what a person pointed out is kept among the column maps. */
export const ownMapName = (person: Person): string => `${OF}${person.id}`.slice(0, 100)

/** Of all saved maps those that a person sees: the shared ones, and the own. Whose else there is is nobody's affair. */
export const visibleMaps = <M extends { name: string }>(maps: readonly M[], person: Person): M[] =>
  maps.filter(({ name }) => !name.startsWith(OF) || name === ownMapName(person))
