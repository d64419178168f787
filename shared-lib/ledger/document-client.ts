import type { DynamoDBClient } from '@aws-sdk/client-dynamodb'
import { DynamoDBDocumentClient } from '@aws-sdk/lib-dynamodb'

/**
 * The SDK's document client as the ledger needs it: plain numbers in, plain numbers out (the default turns numbers above 2^53 into
 * BigInt on reading and refuses them on writing), `undefined` left out.
 */
export function documentClient(client: DynamoDBClient): DynamoDBDocumentClient {
  return DynamoDBDocumentClient.from(client, {
    marshallOptions: { removeUndefinedValues: true, allowImpreciseNumbers: true },
    unmarshallOptions: { wrapNumbers: (digits: string) => Number(digits) },
  })
}
