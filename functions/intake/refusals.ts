import type { RefusedRow } from '../../shared-lib/ledger/kept/upload.ts'
import type { UploadEntry } from '../../shared-lib/ledger/read-upload.ts'

type SurveyEntry = UploadEntry & { kind: 'survey' }

export const conflict = ({ firstRow, survey: { surveyRef } }: SurveyEntry): RefusedRow => ({
  kind: 'refused',
  row: firstRow,
  column: 'survey_ref',
  value: surveyRef,
  code: 'survey-conflict',
  problem: `A survey ${surveyRef} of this electrode is already kept with other content. If this one corrects it, give it a new survey_ref and name the old one in "corrects".`,
  surveyRef,
})

export const notYours = ({ firstRow, survey }: SurveyEntry): RefusedRow => ({
  kind: 'refused',
  row: firstRow,
  column: 'electrode_id',
  value: survey.electrodeId ?? null,
  code: 'other-site',
  problem:
    'This electrode belongs to a site you do not hand in for. Ask the quality team to hand it in, or check the id.',
  surveyRef: survey.surveyRef,
})
