/** The port of exports made as files: the exporter puts them, the web app leads who asked to them. */

export interface ExportFiles {
  /** Whole when it resolves; of bytes that break off nothing is kept. The same key again replaces. Returns the byte length. */
  put(key: string, bytes: AsyncIterable<Uint8Array>): Promise<number>
}

export interface ExportLinks {
  /** An address that gives the file as a download under this name until `lifeS` from now, to whoever has it. */
  linkTo(key: string, how: { fileName: string; lifeS: number }): Promise<string>
}

export const EXPORT_FOLDER = 'exports/'
export const exportFileKey = (exportId: string): string => `${EXPORT_FOLDER}${exportId}.csv`
