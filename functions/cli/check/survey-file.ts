import type { ReadOptions } from '../../../shared-lib/survey/file-plan.ts'
import { readSurveys } from '../../../shared-lib/survey/read-surveys.ts'
import type { Refused } from '../../../shared-lib/survey/refused.ts'
import { scanSurveyFile } from '../../../shared-lib/survey/scan.ts'
import type { Survey } from '../../../shared-lib/survey/survey.ts'
import type { InputFile } from '../files/input-file.ts'
import type { Progress } from '../terminal/progress.ts'
import { ignoredColumnsLine, printable } from '../terminal/words.ts'

/** A survey as it was found. */
interface FoundSurvey {
  survey: Survey
  /** The spreadsheet row it begins at. */
  row: number
  /** Which of the given files it is in, counted from 0. */
  file: number
}

export interface SurveyFileSink {
  survey(found: FoundSurvey): void
  refused(refused: Refused, file: number): void
  /** A refused row of a register table, named by its file. */
  refusedInTable(refused: Refused, table: string): void
}

interface Tools {
  progress: Progress
  tell(message: string): void
}

/** Reads one survey file to the end, in its two passes, showing how far they have come. */
export async function readSurveyFile(
  input: InputFile,
  file: number,
  options: ReadOptions,
  sink: SurveyFileSink,
  { progress, tell }: Tools,
): Promise<void> {
  let read = 0
  const open = async function* (): AsyncGenerator<Uint8Array> {
    for await (const chunk of input.open()) {
      yield chunk
      read += chunk.byteLength
      progress.at(read)
    }
  }
  progress.start(`Judging ${printable(input.fileName)}`, input.byteLength * 2)
  try {
    const scanned = await scanSurveyFile(open, options)
    if (!scanned.ok) {
      sink.refused(scanned.refused, file)
      return
    }
    for await (const entry of readSurveys(open, scanned.plan, options)) {
      if (entry.kind === 'survey') sink.survey({ survey: entry.survey, row: entry.rows.first, file })
      else sink.refused(entry, file)
    }
    progress.stop()
    const ignored = ignoredColumnsLine(input.name, scanned.plan.unknownColumns)
    if (ignored) tell(ignored)
  } finally {
    progress.stop()
  }
}
