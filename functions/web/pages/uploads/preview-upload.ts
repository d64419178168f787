import type { RefusedRow, Upload } from '../../../../shared-lib/ledger/kept/upload.ts'
import type { Ledger } from '../../../../shared-lib/ledger/ledger.ts'
import { declaredOptions, readUpload } from '../../../../shared-lib/ledger/read-upload.ts'
import type { Archive } from '../../../../shared-lib/ports/archive.ts'
import type { ColumnMap } from '../../../../shared-lib/survey/column-map.ts'
import type { FilePlan } from '../../../../shared-lib/survey/file-plan.ts'
import type { Survey } from '../../../../shared-lib/survey/survey.ts'
import { type FileHead, readFileHead } from './file-head.ts'

/** Surveys shown as they were understood. */
const SHOWN_SURVEYS = 3
/** Refused cells kept for the page; all are counted. */
const MOST_REFUSED = 500
const MOST_NAMED = 20

/** What would become of a file if it were handed in now. Every row was read; nothing is stored. */
export interface UploadPreview {
  head: FileHead
  columnMap: ColumnMap | undefined
  /** Null when the file as a whole would be refused: `refused` then says why. */
  plan: FilePlan | null
  surveysSound: number
  surveysRefused: number
  /** Sound surveys whose electrode is not in the register: they would be held. */
  surveysHeld: number
  /** Sound surveys of a site the sender does not hand in for: they would be refused. */
  surveysOtherSite: number
  firstSurveys: Survey[]
  refused: RefusedRow[]
  refusedCells: number
  unknownElectrodes: string[]
}

export interface PreviewDeps {
  archive: Archive
  ledger: Pick<Ledger, 'getElectrodes' | 'listElectrodes'>
}

/** Reads the whole of an archived file with the very code that takes it in, and tells what it found. Errors of the archive are thrown on. */
export async function previewUpload(
  upload: Pick<Upload, 'archiveKey' | 'options' | 'sites'>,
  { archive, ledger }: PreviewDeps,
): Promise<UploadPreview> {
  const { columnMap } = declaredOptions(upload.options)
  const head = await readFileHead(() => archive.open(upload.archiveKey), columnMap)
  const nothing = { surveysSound: 0, surveysRefused: 0, surveysHeld: 0, surveysOtherSite: 0 }
  const reading = await readUpload(upload, archive, ledger)
  if (reading.kind === 'refused')
    return {
      ...{ ...nothing, head, columnMap, plan: null, firstSurveys: [], unknownElectrodes: [] },
      refused: [reading.refused],
      refusedCells: 1,
    }
  const { plan } = reading
  const preview: UploadPreview = {
    ...{ ...nothing, head, columnMap, plan, firstSurveys: [], unknownElectrodes: [] },
    refused: [],
    refusedCells: 0,
  }
  const electrodes = new Map<string, number>()
  for await (const entry of reading.entries) {
    if (entry.kind === 'refused') {
      preview.surveysRefused++
      preview.refusedCells += entry.refused.length
      preview.refused.push(...entry.refused.slice(0, MOST_REFUSED - preview.refused.length))
      continue
    }
    const { survey } = entry
    preview.surveysSound++
    if (preview.firstSurveys.length < SHOWN_SURVEYS) preview.firstSurveys.push(survey)
    const id = survey.method === 'four-point' ? undefined : survey.electrodeId
    if (id !== undefined) electrodes.set(id, (electrodes.get(id) ?? 0) + 1)
  }
  const known = await ledger.getElectrodes([...electrodes.keys()])
  for (const [id, surveys] of electrodes) {
    const siteId = known.get(id)?.electrode.siteId
    if (siteId === undefined) {
      preview.surveysHeld += surveys
      if (preview.unknownElectrodes.length < MOST_NAMED) preview.unknownElectrodes.push(id)
    } else if (upload.sites !== '*' && !upload.sites.includes(siteId)) preview.surveysOtherSite += surveys
  }
  return preview
}
