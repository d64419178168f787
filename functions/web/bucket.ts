import type { Archive } from '../../shared-lib/ports/archive.ts'
import { s3Archive } from '../../shared-lib/ports/cloud/s3-archive.ts'
import { s3DirectUploads } from '../../shared-lib/ports/cloud/s3-direct-uploads.ts'
import type { DirectUploads } from '../../shared-lib/ports/direct-uploads.ts'

/** What web does with the bucket of uploaded files. A file of its own because the client is a large one and few requests need it. */
export function openBucket(bucket: string): { archive: Archive; directUploads: DirectUploads } {
  return { archive: s3Archive(bucket), directUploads: s3DirectUploads(bucket) }
}
