import type { KeptElectrodes } from './kept/electrode.ts'
import type { KeptExports } from './kept/export.ts'
import type { KeptFindings } from './kept/finding.ts'
import type { KeptParameters } from './kept/learnt.ts'
import type { KeptMarks } from './kept/mark.ts'
import type { KeptPeople } from './kept/person.ts'
import type { KeptRegister } from './kept/register.ts'
import type { KeptSites } from './kept/site.ts'
import type { KeptSurveys } from './kept/survey.ts'
import type { KeptTelling } from './kept/telling.ts'
import type { KeptUploads } from './kept/upload.ts'

/**
 * The ledger: everything that is kept, as questions and writes in the words of the trade. Only this folder knows the table.
 * Each write touches one item conditionally or many items by batch; there are no transactions, so every method may be repeated.
 */
export interface Ledger
  extends KeptRegister,
    KeptSurveys,
    KeptFindings,
    KeptElectrodes,
    KeptSites,
    KeptMarks,
    KeptParameters,
    KeptUploads,
    KeptTelling,
    KeptPeople,
    KeptExports {}
