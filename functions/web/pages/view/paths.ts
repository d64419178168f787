import { electrodePaths } from './electrode-paths.ts'

/** Every address of the pages in one place. Ids may hold any character, so each is encoded. */
const e = encodeURIComponent

export const paths = {
  ...electrodePaths,
  home: '/',
  newSurvey: (electrodeId?: string) =>
    electrodeId === undefined ? '/surveys/new' : `/surveys/new?electrode=${e(electrodeId)}`,
  onThisPhone: '/on-this-phone',
  /** What the code on an electrode's lid says. */
  lid: (electrodeId: string) => `/e/${e(electrodeId)}`,
  electrodes: '/electrodes',
  subjectSurvey: (subject: { kind: 'electrode' | 'site' | 'instrument'; id: string }, ref: string) =>
    `/${subject.kind}s/${e(subject.id)}/surveys/${e(ref)}`,
  record: (subject: { kind: 'electrode' | 'site' | 'instrument'; id: string }, ref: string) =>
    `/${subject.kind}s/${e(subject.id)}/surveys/${e(ref)}/record`,
  site: (id: string) => `/sites/${e(id)}`,
  compliance: (siteId: string) => `/sites/${e(siteId)}/summary`,
  complianceCsv: (siteId: string) => `/sites/${e(siteId)}/summary.csv`,
  labels: (siteId: string) => `/sites/${e(siteId)}/labels`,
  findings: '/findings',
  findingsCsv: '/findings.csv',
  decideMany: '/findings/decisions',
  claim: (id: string) => `/findings/${e(id)}/claim`,
  finding: (id: string) => `/findings/${e(id)}`,
  decisions: (id: string) => `/findings/${e(id)}/decisions`,
  uploads: '/uploads',
  upload: (id: string) => `/uploads/${e(id)}`,
  uploadLook: (id: string) => `/uploads/${e(id)}/look`,
  uploadHandIn: (id: string) => `/uploads/${e(id)}/hand-in`,
  uploadMend: (id: string) => `/uploads/${e(id)}/mend`,
  instruments: '/instruments',
  instrument: (id: string) => `/instruments/${e(id)}`,
  export: (id: string) => `/exports/${e(id)}`,
  exportFile: (id: string) => `/exports/${e(id)}/file`,
  editElectrode: '/register/electrode',
  registerFile: '/register/file',
  /** A table of the register as CSV. */
  registerCsv: (table: string) => `/api/export/register.csv?table=${e(table)}`,
  addLimit: '/register/limit',
  addWork: '/register/work',
  addCalibration: '/register/calibration',
  sites: '/sites',
  sitesCsv: '/sites.csv',
  calendar: '/due/calendar',
  plan: '/plan',
  planOf: (electrodeId: string) => `/plan?electrode=${e(electrodeId)}`,
  due: '/due',
  held: '/held',
  heldSurvey: (electrodeId: string, ref: string) => `/held/${e(electrodeId)}/${e(ref)}`,
  moveHeld: (electrodeId: string, ref: string) => `/held/${e(electrodeId)}/${e(ref)}/move`,
  mailSettings: '/mail-settings',
  outbox: '/outbox',
  mail: (id: string) => `/outbox/${e(id)}`,
} as const

/** An address with those of the parameters that have a value. */
export function withQuery(path: string, query: Record<string, string | undefined | null>): string {
  const search = new URLSearchParams()
  for (const [key, value] of Object.entries(query)) if (value) search.set(key, value)
  const text = search.toString()
  return text === '' ? path : `${path}?${text}`
}
