import { SURVEY_CATALOGUE } from './catalogue.ts'
import { createRowReader, isBlank, type RowReader, type RowTrouble } from './csv-rows.ts'
import { isDatePattern, PATTERN_HELP } from './date-pattern.ts'
import type { Encoding } from './decode.ts'
import { declaredDecimalSign, type FilePlan, layoutOf, planColumns, type ReadOptions } from './file-plan.ts'
import { type Header, readHeader } from './header.ts'
import { type DecimalSign, decimalSignShown } from './numbers.ts'
import { type Refused, refusedFile } from './refused.ts'
import { createRowCounts } from './row-counts.ts'
import { type OpenSource, plainText, sniffSource, textOf } from './source.ts'
import { createMethodsSeen, missingColumns } from './survey-columns.ts'
import { createRefTracker } from './survey-ref.ts'

/** The first look through a survey file: everything that must be known of the whole before one row is judged. */

export type Scanned = { ok: true; plan: FilePlan } | { ok: false; refused: Refused }

/** The heading row must be whole in the first piece of text. */
const HEAD_CHARACTERS = 256 * 1024

export const troubleRefused = ({ code, row }: RowTrouble): Refused =>
  refusedFile(code, { detail: String(row) })

interface Scan {
  /** A refusal ends the scan. */
  push(text: string): Refused | null
  end(encoding: Encoding): Scanned
}

/** What the rows show, gathered row by row once the heading row is known. */
function createRowLook(header: Header, options: ReadOptions) {
  const reader: RowReader = createRowReader(header.delimiter)
  const counts = createRowCounts()
  const methods = createMethodsSeen()
  const refs = createRefTracker(header)
  const declared = declaredDecimalSign(options)
  const numeric = header.columns
    .filter(({ field, mapped }) => field.type === 'number' && !mapped?.decimalSign && !declared)
    .map(({ index }) => index)
  const at = (key: string) => header.columns.find((column) => column.key === key)?.index ?? -1
  const methodAt = at('method')
  const outcomeAt = at('outcome')
  let rows = 0
  let point = false
  let comma = false

  function lookAtSigns(cells: readonly string[]): void {
    for (const index of numeric) {
      const cell = cells[index]
      if (cell === undefined || !((!comma && cell.includes(',')) || (!point && cell.includes('.')))) continue
      const sign = decimalSignShown(cell)
      if (sign === '.') point = true
      else if (sign === ',') comma = true
    }
  }

  function take(result: ReturnType<RowReader['push']>): Refused | null {
    if ('trouble' in result) return troubleRefused(result.trouble)
    for (const { row, cells } of result.rows) {
      if (row <= header.row || isBlank(cells)) continue
      const ref = refs.next(cells)
      if (ref === null) continue
      rows++
      counts.add(ref)
      methods.add(cells[methodAt], cells[outcomeAt])
      lookAtSigns(cells)
    }
    return null
  }

  return {
    push: (text: string) => take(reader.push(text)),
    end(encoding: Encoding): Scanned {
      const refused = take(reader.end())
      if (refused) return { ok: false, refused }
      const missing = missingColumns(header.columns, methods)
      if (missing.length > 0) {
        const detail = `the column${missing.length > 1 ? 's' : ''} ${missing.join(', ')}`
        return {
          ok: false,
          refused: { ...refusedFile('columns-missing', { detail }), column: missing.join(', ') },
        }
      }
      const settled: DecimalSign | undefined = point === comma ? undefined : point ? '.' : ','
      const decimalSign = declared ?? settled
      const { delimiter, row: headerRow, headings, unknownColumns } = header
      const columns = planColumns(header, decimalSign, options)
      return {
        ok: true,
        plan: {
          encoding,
          delimiter,
          headerRow,
          headings,
          columns,
          layout: layoutOf(columns),
          unknownColumns,
          form: header.columns.some(({ level }) => level === 'wide') ? 'wide' : 'long',
          decimalSign,
          rows,
          counts,
        },
      }
    },
  }
}

const hasBothForms = ({ columns }: Header) =>
  columns.some(({ level }) => level === 'wide') && columns.some(({ key }) => key === 'potentialProbeM')

function createScan(options: ReadOptions): Scan {
  let head = ''
  let look: ReturnType<typeof createRowLook> | null = null

  function start(): Refused | null {
    const pattern = options.datePattern
    if (pattern !== undefined && !isDatePattern(pattern))
      return refusedFile('bad-column-map', {
        detail: `“${pattern}” is not a date pattern; use ${PATTERN_HELP}`,
      })
    const header = readHeader(head, SURVEY_CATALOGUE, options.columnMap)
    if ('kind' in header) return header
    if (hasBothForms(header)) return refusedFile('two-forms')
    look = createRowLook(header, options)
    return look.push(head)
  }

  return {
    push(text) {
      if (look) return look.push(text)
      head += text
      return head.length < HEAD_CHARACTERS ? null : start()
    },
    end(encoding) {
      const refused = look ? null : start()
      if (refused || !look) return { ok: false, refused: refused ?? refusedFile('empty-file') }
      return look.end(encoding)
    },
  }
}

/** Null where the bytes are not in the encoding. */
async function scanAs(open: OpenSource, encoding: Encoding, options: ReadOptions): Promise<Scanned | null> {
  const scan = createScan(options)
  for await (const text of textOf(open, encoding)) {
    if (text === null) return null
    const refused = scan.push(text)
    if (refused) return { ok: false, refused }
  }
  return scan.end(encoding)
}

/**
 * Looks through a whole survey file: encoding, separator, columns, decimal sign, rows of each survey. A file that cannot be read as a
 * whole is refused here, before any survey of it is taken. Memory does not grow with the file but for some 20 bytes a survey.
 * Errors of `open` itself are thrown on.
 */
export async function scanSurveyFile(open: OpenSource, options: ReadOptions = {}): Promise<Scanned> {
  const sniffed = await sniffSource(open)
  if (!sniffed.ok) return { ok: false, refused: refusedFile('not-a-csv', { detail: sniffed.what }) }
  const scanned = await scanAs(open, sniffed.encoding, options)
  if (scanned) return scanned
  const other = sniffed.encoding === 'utf-8' ? await scanAs(open, 'windows-1252', options) : null
  return other ?? { ok: false, refused: refusedFile('bad-encoding') }
}

/** The same for text at hand. */
export function scanSurveyText(text: string, options: ReadOptions = {}): Scanned {
  const scan = createScan(options)
  const refused = scan.push(plainText(text))
  return refused ? { ok: false, refused } : scan.end('utf-8')
}
