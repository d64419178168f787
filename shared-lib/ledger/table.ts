/**
 * The one table, as data: local set-up and the cloud stack both build it from here. Every index is sparse (an item without the
 * two index attributes is not in it and costs nothing there) and holds keys only, so that rewriting an item's content costs no
 * index write. What the key strings look like is in keys.ts.
 */

interface IndexShape {
  name: string
  partitionKey: string
  sortKey: string
  /** Attributes carried besides the keys. */
  include: string[]
}
export interface TableShape {
  partitionKey: string
  sortKey: string
  indexes: IndexShape[]
}

export const INDEX = { listing: 'listing', owner: 'owner', enumeration: 'enumeration' } as const
export type IndexName = (typeof INDEX)[keyof typeof INDEX]

/** The index attributes of each index, by name: partition key, sort key. */
export const INDEX_ATTRIBUTES = {
  listing: ['lp', 'ls'],
  owner: ['op', 'os'],
  enumeration: ['ep', 'es'],
} as const satisfies Record<IndexName, readonly [string, string]>

export const TABLE_SHAPE: TableShape = {
  partitionKey: 'pk',
  sortKey: 'sk',
  indexes: [
    // Over all sites, spread over shards: findings by state, due dates, held surveys, untold, uploads, calibrations.
    { name: INDEX.listing, partitionKey: 'lp', sortKey: 'ls', include: [] },
    // The same by owner: electrodes and findings of a site, uploads of a person.
    { name: INDEX.owner, partitionKey: 'op', sortKey: 'os', include: [] },
    // Every electrode, once; its site is carried so that sites can be counted from here.
    { name: INDEX.enumeration, partitionKey: 'ep', sortKey: 'es', include: ['siteId'] },
  ],
}
