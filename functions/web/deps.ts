import type { Hono } from 'hono'
import type { HandInDesk } from '../../shared-lib/ledger/hand-in.ts'
import type { Ledger } from '../../shared-lib/ledger/ledger.ts'
import type { Archive } from '../../shared-lib/ports/archive.ts'
import type { Clock } from '../../shared-lib/ports/clock.ts'
import type { DirectUploads } from '../../shared-lib/ports/direct-uploads.ts'
import type { ExportLinks } from '../../shared-lib/ports/export-files.ts'
import type { Log } from '../../shared-lib/ports/handle-batch.ts'
import type { Identity } from '../../shared-lib/ports/identity.ts'
import type { Queue } from '../../shared-lib/ports/queue.ts'
import type { Asset } from './assets.ts'
import type { Limits } from './limits/limits.ts'
import type { Pressure } from './limits/pressure.ts'
import type { WebEnv } from './web-env.ts'

/** A mail that was sent, as the outbox page shows it. Only on one machine: in the cloud mail leaves the house. */
export interface Outbox {
  /** Newest first. */
  list(): Promise<{ id: string; to: string; subject: string; sentAtMs: number }[]>
  /** The message as sent (RFC 5322), or null. */
  read(id: string): Promise<string | null>
}

/** Everything the web app reaches; it reads neither the environment nor the clock by itself. */
export interface WebDeps {
  ledger: Ledger
  desk: HandInDesk
  /** Message body `{ uploadId }`. */
  intakeQueue: Queue
  archive: Archive
  identity: Identity
  clock: Clock
  /** Random, URL-safe, 22 characters or more. */
  newId(): string
  /** Where it is written down what was refused; absent: nowhere. */
  log?: Log
  outbox?: Outbox
  /** Where large files go past this app. Absent: a ticket leads back to it. */
  directUploads?: DirectUploads
  /** Where an answer has a longest length: how longer exports are made as files. Absent: any answer streams. */
  exports?: {
    longestAnswerBytes: number
    /** Message body `{ personId, exportId }`. */
    queue: Queue
    links: ExportLinks
  }
  /** Mounts `/sign-in` and `/sign-out`. Absent: sign-in by the links of one machine. */
  mountSignIn?: (app: Hono<WebEnv>, deps: WebDeps) => void
  /** Scripts and what a phone installs, from `buildClient()`. Absent: every page works without. */
  assets?: readonly Asset[]
  /** How hard the process is pressed, told to those who can wait. Absent where each process has one request. */
  pressure?: Pressure
  settings: WebSettings
}

interface WebSettings {
  operatorName: string
  /** The address people reach it by, without a trailing slash. */
  baseUrl: string
  /** Bytes taken by `POST /api/uploads`; more gets 413. Contract: 4 MB (in the cloud); one machine takes more. */
  maxUploadBytes: number
  secureCookies: boolean
  /** How much is taken at once and from one person; absent where the gateway before it throttles. */
  limits?: Limits
  /** Shown on pages with an urgent finding: whom to phone. */
  controlRoomPhone?: string
}
