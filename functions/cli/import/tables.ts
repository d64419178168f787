/** The register's tables that can be handed in. */
export const TABLES = ['electrodes', 'limits', 'instruments', 'works'] as const
export type TableName = (typeof TABLES)[number]
