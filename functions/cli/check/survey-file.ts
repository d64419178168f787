import type { ReadOptions } from '../../../shared-lib/survey/file-plan.ts'
import { readSurveys } from '../../../shared-lib/survey/read-surveys.ts'
import type { Refused } from '../../../shared-lib/survey/refused.ts'
import { type Scanned, scanSurveyFile } from '../../../shared-lib/survey/scan.ts'
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
  /** A promise is to be waited for before more is handed over. */
  survey(found: FoundSurvey): Promise<void> | undefined
  refused(refused: Refused, file: number): Promise<void> | undefined
  /** A refused row of a register table, named by its file. */
  refusedInTable(refused: Refused, table: string): Promise<void> | undefined
}

interface Tools {
  progress: Progress
  tell(message: string): void
}

/** A survey file after its first look. */
export interface ScannedFile {
  input: InputFile
  scanned: Scanned
}

/** Bytes of a file as they are read, showing how far that has come. */
function openShown(input: InputFile, progress: Progress): () => AsyncGenerator<Uint8Array> {
  let read = 0
  return async function* () {
    for await (const chunk of input.open()) {
      yield chunk
      read += chunk.byteLength
      progress.at(read)
    }
  }
}

/** The first look through a whole file. */
export async function lookThrough(
  input: InputFile,
  options: ReadOptions,
  progress: Progress,
): Promise<ScannedFile> {
  progress.start(`Looking through ${printable(input.fileName)}`, input.byteLength)
  try {
    return { input, scanned: await scanSurveyFile(openShown(input, progress), options) }
  } finally {
    progress.stop()
  }
}

/** Reads one survey file to the end, showing how far that has come. */
export async function readSurveyFile(
  { input, scanned }: ScannedFile,
  file: number,
  options: ReadOptions,
  sink: SurveyFileSink,
  { progress, tell }: Tools,
): Promise<void> {
  progress.start(`Judging ${printable(input.fileName)}`, input.byteLength)
  try {
    if (!scanned.ok) {
      sink.refused(scanned.refused, file)
      return
    }
    for await (const entry of readSurveys(openShown(input, progress), scanned.plan, options)) {
      const full =
        entry.kind === 'survey'
          ? sink.survey({ survey: entry.survey, row: entry.rows.first, file })
          : sink.refused(entry, file)
      if (full) await full
    }
    progress.stop()
    const ignored = ignoredColumnsLine(input.name, scanned.plan.unknownColumns)
    if (ignored) tell(ignored)
  } finally {
    progress.stop()
  }
}
