import { createHash } from 'node:crypto'
import { BASE_CSS } from './base.css.ts'
import { CHART_CSS } from './chart.css.ts'
import { FORM_CSS } from './form.css.ts'
import { LABEL_CSS } from './label.css.ts'
import { PARTS_CSS } from './parts.css.ts'
import { PRINT_CSS } from './print.css.ts'

/** The one stylesheet. Kept as text in modules so that a bundle for the cloud carries it without any loader. */
export const STYLESHEET = BASE_CSS + PARTS_CSS + FORM_CSS + CHART_CSS + LABEL_CSS + PRINT_CSS

export const STYLESHEET_PATH = '/assets/stakeline.css'

/** Address with a hash of the content: it may be kept for a year, and a changed sheet has another address. */
export const STYLESHEET_HREF = `${STYLESHEET_PATH}?v=${createHash('sha256').update(STYLESHEET).digest('hex').slice(0, 12)}`
