import { createHash } from 'node:crypto'
import { BASE_CSS } from './base.css.ts'
import { CHART_CSS } from './chart.css.ts'
import { FORM_CSS } from './form.css.ts'
import { LABEL_CSS } from './label.css.ts'
import { OFFICE_CSS } from './office.css.ts'
import { PAPER_CSS } from './paper.css.ts'
import { PARTS_CSS } from './parts.css.ts'
import { PRINT_CSS } from './print.css.ts'

export interface Sheet {
  path: string
  text: string
  /** Address with a hash of the content: it may be kept for a year, and a changed sheet has another address. */
  href: string
}

/** Kept as text in modules so that a bundle for the cloud carries it without any loader. */
function sheet(path: string, text: string): Sheet {
  const hash = createHash('sha256').update(text).digest('hex').slice(0, 12)
  return { path, text, href: `${path}?v=${hash}` }
}

/** Everything, for pages where people work all day. */
export const OFFICE_SHEET = sheet(
  '/assets/stakeline.css',
  BASE_CSS + PARTS_CSS + FORM_CSS + CHART_CSS + OFFICE_CSS + LABEL_CSS + PRINT_CSS + PAPER_CSS,
)

/** What the pages for outside need, and no more: they are opened on a bad network. */
export const FIELD_SHEET = sheet('/assets/field.css', BASE_CSS + PARTS_CSS + FORM_CSS + PRINT_CSS)
