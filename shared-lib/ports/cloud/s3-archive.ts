import { DeleteObjectCommand, GetObjectCommand, PutObjectCommand, S3Client } from '@aws-sdk/client-s3'
import type { Archive, ArchiveRemoval } from '../archive.ts'

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

/** Takes files out of the bucket again. The bucket keeps versions: what is removed can be brought back for as long as it keeps them. */
export function s3ArchiveRemoval(bucket: string, client = new S3Client()): ArchiveRemoval {
  return {
    async remove(key) {
      await client.send(new DeleteObjectCommand({ Bucket: bucket, Key: key }))
    },
  }
}
