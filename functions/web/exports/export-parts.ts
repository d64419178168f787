import type { Person } from '../../../shared-lib/ports/identity.ts'
import type { WebDeps } from '../deps.ts'
import type { ExportKind } from './export-kinds.ts'
import { findingsExport } from './findings-export.ts'
import { refusedExport } from './refused-export.ts'
import { electrodesExport, instrumentsExport, limitsExport, worksExport } from './register-export.ts'
import { surveyExport } from './survey-export.ts'

type Parts = (
  asking: { deps: Pick<WebDeps, 'ledger'>; person: Person; nowMs: number },
  query: Record<string, string>,
) => AsyncIterable<string>

/** How each export is made, in pieces: what this person may see at this moment, narrowed as the query says. */
export const EXPORT_PARTS: Record<ExportKind, Parts> = {
  electrodes: ({ deps, person }, query) => electrodesExport(deps, person, query),
  limits: ({ deps, person }, query) => limitsExport(deps, person, query),
  instruments: ({ deps }) => instrumentsExport(deps),
  works: ({ deps, person }, query) => worksExport(deps, person, query),
  surveys: ({ deps, person }, query) => surveyExport(deps, person, query),
  findings: findingsExport,
  refused: ({ deps, person }, query) => refusedExport(deps, person, query),
}
