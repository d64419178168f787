import { GetObjectCommand, PutObjectCommand, S3Client } from '@aws-sdk/client-s3'
import type { Archive } from '../archive.ts'

/**
 * Uploaded files in a bucket. What is put here came through a function and is a few megabytes at most, so it is put in one piece;
 * larger files go to the bucket directly (direct-uploads.ts).
 */
export function s3Archive(bucket: string, client = new S3Client()): Archive {
  return {
    async put(key, bytes) {
      const chunks: Uint8Array[] = []
      for await (const chunk of bytes) chunks.push(chunk)
      const Body = Buffer.concat(chunks)
      await client.send(new PutObjectCommand({ Bucket: bucket, Key: key, Body }))
      return Body.byteLength
    },
    open(key) {
      return {
        async *[Symbol.asyncIterator]() {
          const { Body } = await client.send(new GetObjectCommand({ Bucket: bucket, Key: key }))
          if (Body) yield* Body as unknown as AsyncIterable<Uint8Array>
        },
      }
    },
  }
}
