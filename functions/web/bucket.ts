import type { Archive } from '../../shared-lib/ports/archive.ts'
import { s3Archive } from '../../shared-lib/ports/cloud/s3-archive.ts'
import { s3DirectUploads } from '../../shared-lib/ports/cloud/s3-direct-uploads.ts'
import { s3ExportLinks } from '../../shared-lib/ports/cloud/s3-export-links.ts'
import type { DirectUploads } from '../../shared-lib/ports/direct-uploads.ts'
import type { ExportLinks } from '../../shared-lib/ports/export-files.ts'

interface Bucket {
  archive: Archive
  directUploads: DirectUploads
  exportLinks: ExportLinks
}

/** What web does with the bucket of files. A file of its own because the client is a large one and few requests need it. */
export function openBucket(bucket: string): Bucket {
  return {
    archive: s3Archive(bucket),
    directUploads: s3DirectUploads(bucket),
    exportLinks: s3ExportLinks(bucket),
  }
}
