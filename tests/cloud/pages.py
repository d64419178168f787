"""Pages as a signed-in browser has them. Whoever may read the session key could be anybody, so the scenario signs a session with it
instead of driving the pool's own sign-in page, which the emulator does not have (the code flow is tested with a whole provider)."""
import base64
import hashlib
import hmac
import json
import time
import urllib.error
import urllib.request
import uuid

import boto3
from boto3.dynamodb.conditions import Attr

from service import check, opener


def part(words):
    return base64.urlsafe_b64encode(words if isinstance(words, bytes) else json.dumps(words).encode()).rstrip(b"=").decode()


def session(key, role):
    now = int(time.time())
    person = {"sub": f"pool:test-{role}", "name": f"Test {role}", "role": role, "sites": "*"}
    claims = {**person, "iss": "stakeline", "aud": "session", "iat": now, "exp": now + 600, "jti": str(uuid.uuid4())}
    signed = f"{part({'alg': 'HS256'})}.{part(claims)}"
    return f"{signed}.{part(hmac.new(key.encode(), signed.encode(), hashlib.sha256).digest())}"


def browser(base, origin, cookie):
    """ask(method, path, body, content_type): status, where it leads on to, and text."""

    def ask(method, path, body=None, content_type=""):
        headers = {"Cookie": f"stakeline_session={cookie}", "Accept": "text/html", "Origin": origin, "Content-Type": content_type}
        request = urllib.request.Request(base + path, method=method, data=body, headers=headers)
        try:
            answer = opener.open(request, timeout=40)
        except urllib.error.HTTPError as error:
            answer = error
        return answer.status, answer.headers.get("location"), answer.read().decode()

    return ask


def a_draft_is_shown_and_goes(base, service, content, wake):
    """A file that is looked through and not handed in: shown while it is young, removed by the nightly task when it is old."""
    variables = boto3.client("lambda").get_function_configuration(FunctionName=service["webfunction"])["Environment"]["Variables"]
    key = boto3.client("secretsmanager").get_secret_value(SecretId=variables["SESSION_KEY_SECRET"])["SecretString"]
    origin = service["Url"].rstrip("/")
    seen = browser(base, origin, "forged")("GET", "/uploads")
    check("a forged session leads to the sign-in", seen[0] == 303 and seen[1].startswith("/sign-in"), seen)
    ask = browser(base, origin, session(key, "quality"))
    for path in ("/", "/surveys/new", "/findings", "/electrodes/E-1", "/sites"):
        seen = ask("GET", path)
        check(f"a signed-in person sees {path}", seen[0] == 200 and "<h1" in seen[2], seen)

    boundary = uuid.uuid4().hex
    fields = f'--{boundary}\r\nContent-Disposition: form-data; name="action"\r\n\r\nlook\r\n--{boundary}\r\n'
    fields += 'Content-Disposition: form-data; name="file"; filename="draft.csv"\r\nContent-Type: text/csv\r\n\r\n'
    form = fields.encode() + content + f"\r\n--{boundary}--\r\n".encode()
    typed = f"multipart/form-data; boundary={boundary}"
    seen = browser(base, "https://elsewhere.example.org", session(key, "quality"))("POST", "/uploads", form, typed)
    check("another web site cannot send a file in a person's name", seen[0] == 403, seen)
    seen = ask("POST", "/uploads", form, typed)
    check("a file is taken to be looked through", seen[0] == 303 and seen[1].startswith("/uploads/"), seen)
    where = seen[1].split("?")[0]
    seen = ask("GET", where)
    check("and shown as it would be read", seen[0] == 200 and "U-1" in seen[2], seen)

    table = boto3.resource("dynamodb").Table(variables["TABLE_NAME"])
    mine = Attr("sk").eq("UP") & Attr("d.id").eq(where.rsplit("/", 1)[1])
    (draft,) = table.scan(FilterExpression=mine)["Items"]
    failed, told = wake({"task": "drafts"})
    check("a young draft stays", failed is None and ask("GET", where)[0] == 200, told)
    old = time.strftime("%Y-%m-%dT%H:%M:%S.000Z", time.gmtime(time.time() - 15 * 86400))
    table.update_item(
        Key={"pk": draft["pk"], "sk": draft["sk"]}, UpdateExpression="SET d.receivedAt = :t", ExpressionAttributeValues={":t": old},
    )
    failed, told = wake({"task": "drafts"})
    check("a draft of two weeks goes by night", failed is None and ask("GET", where)[0] == 404, told)
    kept = boto3.client("s3").list_objects_v2(Bucket=variables["ARCHIVE_BUCKET"], Prefix=draft["d"]["archiveKey"]).get("Contents", [])
    check("and its file with it", kept == [], kept)
    versions = boto3.client("s3").list_object_versions(Bucket=variables["ARCHIVE_BUCKET"], Prefix=draft["d"]["archiveKey"])
    check("which can be brought back", len(versions.get("Versions", [])) == 1, versions)
