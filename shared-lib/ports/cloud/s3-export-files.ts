import { Readable } from 'node:stream'
import { S3Client } from '@aws-sdk/client-s3'
import { Upload } from '@aws-sdk/lib-storage'
import type { ExportFiles } from '../export-files.ts'

/** Two of these are in memory at once, however long the file; S3 takes 10,000, which is 80 GB. */
const PART_BYTES = 8 * 1024 * 1024
const PARTS_AT_ONCE = 1

/** Exports in the bucket, sent part by part while they are made. When the bytes break off, the parts are taken back. */
export function s3ExportFiles(bucket: string, client = new S3Client()): ExportFiles {
  return {
    async put(key, bytes) {
      let length = 0
      async function* counted() {
        for await (const chunk of bytes) {
          length += chunk.byteLength
          yield chunk
        }
      }
      const upload = new Upload({
        client,
        params: {
          Bucket: bucket,
          Key: key,
          Body: Readable.from(counted()),
          ContentType: 'text/csv; charset=utf-8',
        },
        partSize: PART_BYTES,
        queueSize: PARTS_AT_ONCE,
        leavePartsOnError: false,
      })
      await upload.done()
      return length
    },
  }
}
