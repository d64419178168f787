import type { Person } from '../../ports/identity.ts'

/** An export that is longer than one answer may be: asked for, made as a file, fetched by who asked. */
export interface ExportJob {
  id: string
  /** Who asked, as they were then: it holds what they might see, and nobody else gets it. */
  person: Person
  /** Which of the exports, and how it was narrowed: the query of the address. */
  kind: string
  query: Record<string, string>
  askedAt: string
  state: 'waiting' | 'making' | 'ready' | 'failed'
  finishedAt?: string
  byteLength?: number
  /** Why there is no file and what to do instead. */
  failure?: string
}

export interface KeptExports {
  /** Keeps it as it is now. */
  putExport(job: ExportJob): Promise<void>
  getExport(personId: string, id: string): Promise<ExportJob | null>
  /** Those of a person, in no order. */
  listExports(personId: string): Promise<ExportJob[]>
  removeExports(personId: string, ids: readonly string[]): Promise<void>
}
