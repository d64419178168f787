/** The archive port: uploaded files, kept as they came. */
export interface Archive {
  /** Durable when it resolves; the same key again replaces with the same bytes. Returns the byte length. */
  put(key: string, bytes: AsyncIterable<Uint8Array>): Promise<number>
  /** Re-openable: each call starts at the beginning. Throws when the key is not there. */
  open(key: string): AsyncIterable<Uint8Array>
}

/** Takes files out of the archive again: for what was never handed in. */
export interface ArchiveRemoval {
  /** A key that is not there is no error. */
  remove(key: string): Promise<void>
}
