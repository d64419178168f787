import { PutObjectCommand, S3Client } from '@aws-sdk/client-s3'
import { createPresignedPost } from '@aws-sdk/s3-presigned-post'
import { type DirectUploads, directKey, ticketKey } from '../direct-uploads.ts'

/** Direct uploads by a presigned POST: the bucket itself refuses another key, another type, or more bytes than allowed. */
export function s3DirectUploads(bucket: string, client = new S3Client()): DirectUploads {
  return {
    async issue(ticket, { mostBytes, lifeS }) {
      await client.send(
        new PutObjectCommand({
          Bucket: bucket,
          Key: ticketKey(ticket.uploadId),
          Body: JSON.stringify(ticket),
          ContentType: 'application/json',
        }),
      )
      return createPresignedPost(client, {
        Bucket: bucket,
        Key: directKey(ticket.uploadId),
        Fields: { 'Content-Type': 'text/csv' },
        Conditions: [
          ['content-length-range', 1, mostBytes],
          ['eq', '$Content-Type', 'text/csv'],
        ],
        Expires: lifeS,
      })
    },
  }
}
