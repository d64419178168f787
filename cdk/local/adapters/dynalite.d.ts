/** The part of dynalite that is used here; the package brings no types. */
declare module 'dynalite' {
  import type { Server } from 'node:http'
  export interface DynaliteOptions {
    /** Folder of the LevelDB store; in memory when absent. */
    path?: string
    createTableMs?: number
    deleteTableMs?: number
    updateTableMs?: number
  }
  export default function dynalite(options?: DynaliteOptions): Server
}
