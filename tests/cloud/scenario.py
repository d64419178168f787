"""Drives a deployed stakeline as a crew, a quality team and an engineer would; the first thing that is not as it should be ends it.

Usage: scenario.py OUTPUTS.json, with AWS_ENDPOINT_URL of the emulator in the environment.
"""
import json
import os
import sys
import time
import urllib.error
import urllib.request
import uuid

import boto3

outputs = json.load(open(sys.argv[1], encoding="utf8"))
data, service = outputs["stakeline-data"], outputs["stakeline-service"]
endpoint = os.environ["AWS_ENDPOINT_URL"]
api_id = service["Url"].split("//")[1].split(".")[0]
base = f"{endpoint}/_aws/execute-api/{api_id}/$default"
PASSWORD = "Correct-horse-1-battery"


def check(what, holds, seen=""):
    print(("ok    " if holds else "WRONG ") + what, flush=True)
    if not holds:
        raise SystemExit(f"{what}: {str(seen)[:1500]}")


def token(role):
    pool, email = data["UserPoolId"], f"{role}@example.org"
    people = boto3.client("cognito-idp")
    attributes = {"email": email, "name": role, "custom:sites": "*", "email_verified": "true"}
    people.admin_create_user(
        UserPoolId=pool, Username=email, MessageAction="SUPPRESS",
        UserAttributes=[{"Name": k, "Value": v} for k, v in attributes.items()],
    )
    people.admin_set_user_password(UserPoolId=pool, Username=email, Password=PASSWORD, Permanent=True)
    people.admin_add_user_to_group(UserPoolId=pool, Username=email, GroupName=role)
    answer = people.admin_initiate_auth(
        UserPoolId=pool, ClientId=service["ProgramsClientId"], AuthFlow="ADMIN_USER_PASSWORD_AUTH",
        AuthParameters={"USERNAME": email, "PASSWORD": PASSWORD},
    )
    return answer["AuthenticationResult"]["IdToken"]


def send(request):
    try:
        answer = urllib.request.urlopen(request, timeout=40)
        return answer.status, answer.read().decode()
    except urllib.error.HTTPError as error:
        return error.code, error.read().decode()


def call(method, path, bearer=None, body=None, content_type="application/json"):
    headers = {"Content-Type": content_type}
    if bearer:
        headers["Authorization"] = f"Bearer {bearer}"
    return send(urllib.request.Request(base + path, method=method, data=body, headers=headers))


def until(ask, done, seconds=60):
    end = time.time() + seconds
    while True:
        seen = ask()
        if done(seen) or time.time() > end:
            return seen
        time.sleep(0.5)


check("the service answers without a token to health alone", call("GET", "/healthz")[0] == 200)
check("the API asks who is there", call("GET", "/api/sites")[0] == 401)
check("a forged token is none", call("GET", "/api/sites", "eyJhbGciOiJub25lIn0.e30.")[0] == 401)
admin, crew, quality = token("admin"), token("field"), token("quality")

register = b"electrode_id,site_id,kind,length_m,limit_ohm,responsible_email\nE-1,S-1,rod,3,25,eng@example.org\n"
seen = call("POST", "/api/register", admin, register, "text/csv")
check("the administrator hands the register in", seen[0] == 200, seen)
check("the crew may not", call("POST", "/api/register", crew, register, "text/csv")[0] == 403)

survey = {
    "surveyRef": "S-1", "electrodeId": "E-1", "testedAt": "2026-11-04T10:20:00+01:00", "currentProbeM": 30,
    "method": "fall-of-potential", "measuredAs": "electrode-alone",
    "readings": [{"potentialProbeM": p, "resistanceOhm": r} for p, r in ((15.6, 80.9), (18.6, 81.0), (21.6, 81.2))],
}
seen = call("POST", "/api/surveys", crew, json.dumps(survey).encode())
check("a crew's survey is judged at once", seen[0] == 201 and json.loads(seen[1])["validity"] == "valid", seen)
check("the same again changes nothing", call("POST", "/api/surveys", crew, json.dumps(survey).encode())[0] == 200)

ticket = json.loads(call("POST", "/api/uploads/ticket", crew, b'{"fileName":"round.csv"}')[1])
csv = (
    b"survey_ref,electrode_id,tested_at,current_probe_m,r52_ohm,r62_ohm,r72_ohm\n"
    b"U-1,E-1,2026-11-10T10:00:00Z,30,79,80,81\nU-2,E-9,2026-11-10T10:00:00Z,30,79,80,81\n"
)


def post_form(fields, content):
    boundary = uuid.uuid4().hex
    part = '--{}\r\nContent-Disposition: form-data; name="{}"'
    body = b"".join((part + "\r\n\r\n{}\r\n").format(boundary, k, v).encode() for k, v in fields.items())
    body += (part + '; filename="round.csv"\r\nContent-Type: text/csv\r\n\r\n').format(boundary, "file").encode()
    body += content + f"\r\n--{boundary}--\r\n".encode()
    headers = {"Content-Type": f"multipart/form-data; boundary={boundary}"}
    return send(urllib.request.Request(ticket["url"], method="POST", data=body, headers=headers))


seen = post_form({**ticket["fields"], "Content-Type": "text/html"}, csv)
check("the bucket refuses another type than the ticket's", seen[0] == 403, seen)
seen = post_form(ticket["fields"], csv)
check("a large file goes to the bucket directly", seen[0] in (200, 204), seen)
upload = until(
    lambda: call("GET", f"/api/uploads/{ticket['id']}", crew),
    lambda a: a[0] == 200 and json.loads(a[1])["state"] in ("done", "failed"),
)
told = json.loads(upload[1])
check("it is read: one survey stored, one held", (told.get("surveysAccepted"), told.get("surveysHeld")) == (1, 1), upload)

found = until(lambda: call("GET", "/api/findings?state=open", quality), lambda a: len(json.loads(a[1])["items"]) >= 2)
items = json.loads(found[1])["items"]
check("the quality team sees what was found", "limit-exceeded" in [i["code"] for i in items], found)
mails = until(
    lambda: send(urllib.request.Request(f"{endpoint}/_ministack/ses/messages"))[1], lambda t: "eng@example.org" in t
)
check("the engineer is told by mail", "eng@example.org" in mails, mails)

decision = json.dumps({"action": "accept", "reason": "An extension is planned for March."}).encode()
seen = call("POST", f"/api/findings/{items[0]['id']}/decisions", crew, decision)
check("the crew cannot decide", seen[0] == 403, seen)
seen = call("POST", f"/api/findings/{items[0]['id']}/decisions", quality, decision)
check("the quality team decides", seen[0] in (200, 201), seen)

sweep = boto3.client("lambda").invoke(FunctionName=service["upkeepfunction"], Payload=b"{}")
check("the sweep runs", "FunctionError" not in sweep, sweep["Payload"].read())
