import { GetObjectCommand, S3Client } from '@aws-sdk/client-s3'
import { getSignedUrl } from '@aws-sdk/s3-request-presigner'
import type { ExportLinks } from '../export-files.ts'

/** Presigned addresses of single files. */
export function s3ExportLinks(bucket: string, client = new S3Client()): ExportLinks {
  return {
    linkTo: (key, { fileName, lifeS }) =>
      getSignedUrl(
        client,
        new GetObjectCommand({
          Bucket: bucket,
          Key: key,
          ResponseContentDisposition: `attachment; filename="${fileName.replace(/[^\w.-]/g, '')}"`,
          ResponseContentType: 'text/csv; charset=utf-8',
          ResponseCacheControl: 'no-store',
        }),
        { expiresIn: lifeS },
      ),
  }
}
