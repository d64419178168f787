import { followUpload } from './upload/follow-upload.ts'
import { takeDroppedFile } from './upload/take-dropped-file.ts'

/** Uploads: a file may be dropped anywhere on the form, and progress is followed without loading the page again. */
takeDroppedFile()
followUpload()
