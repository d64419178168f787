/** The exports that may be longer than one answer. The key is kept with a job, so it does not change its meaning. */
export const EXPORT_KINDS = {
  surveys: { fileName: 'surveys.csv', words: 'Surveys' },
  electrodes: { fileName: 'electrodes.csv', words: 'Electrodes of the register' },
  limits: { fileName: 'limits.csv', words: 'Limits of the register' },
  instruments: { fileName: 'instruments.csv', words: 'Instruments and calibrations' },
  works: { fileName: 'works.csv', words: 'Works of the register' },
  refused: { fileName: 'refused.csv', words: 'What was refused of a file' },
  findings: { fileName: 'findings.csv', words: 'Findings' },
} as const

export type ExportKind = keyof typeof EXPORT_KINDS

export interface ExportWhat {
  kind: ExportKind
  /** How it is narrowed, as the address says it. */
  query: Record<string, string>
}

/** Null for a job of a later version of the program. */
export const exportKind = (name: string): ExportKind | null =>
  Object.hasOwn(EXPORT_KINDS, name) ? (name as ExportKind) : null

/** `Surveys: site DEMO-NORTH`, as a person reads it. */
export function exportWords({ kind, query }: { kind: string; query: Record<string, string> }): string {
  const known = exportKind(kind)
  const narrowed = Object.entries(query).map(([name, value]) => `${name} ${value}`)
  const words = known ? EXPORT_KINDS[known].words : 'Export'
  return narrowed.length === 0 ? `${words}: all you may see` : `${words}: ${narrowed.join(', ')}`
}
