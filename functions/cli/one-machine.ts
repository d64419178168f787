/**
 * What the command line asks of the data folder of one machine while no service runs on it. The command line does not know how a
 * folder is built: the entry brings the answer along.
 */
export interface OneMachine {
  /** A copy of the folder that can be checked, made in one go: a broken-off backup leaves nothing at `folder`. */
  backup(dataFolder: string, folder: string): Promise<BackupEnd>
  /** The data folder as it was, every file checked; a broken-off restore leaves no data folder. */
  restore(folder: string, dataFolder: string): Promise<RestoreEnd>
  /** Works every evaluation and assessment out anew and tells each that differs from what is stored. Changes nothing. */
  verify(dataFolder: string, tell: (difference: Difference) => void): Promise<VerifyEnd>
}

export type NotPossible =
  /** Another process has the data folder open. */
  | { kind: 'in-use' }
  /** There is no data, or no backup, in the folder. */
  | { kind: 'not-there' }
  /** What would be written to has something in it already. */
  | { kind: 'not-empty' }

export type BackupEnd = NotPossible | { kind: 'done'; files: number; bytes: number }

export type RestoreEnd =
  | NotPossible
  | { kind: 'damaged'; file: string; why: string }
  | { kind: 'done'; files: number; bytes: number; madeAt: string }

/** One place where what is stored is not what follows from the stored surveys. */
export interface Difference {
  kind: 'difference'
  /** `survey`, `assessment`, `finding`, `dates` or `content`. */
  what: string
  subject: string
  surveyRef: string | null
  /** In words: what is stored, what follows. */
  problem: string
}

export type VerifyEnd =
  | NotPossible
  | {
      kind: 'done'
      electrodes: number
      surveys: number
      differences: number
      /** Electrodes with news that nobody has compared yet: they are not differences. */
      waiting: number
    }
