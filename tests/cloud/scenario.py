"""Drives a deployed stakeline as a crew, a quality team and an engineer would; the first thing that is not as it should be ends it.

Usage: scenario.py OUTPUTS.json, the file of `cdk deploy --outputs-file`. run.sh gives it an emulator. In an account of its own (it
makes three people, stores surveys, sends mail to example.org and breaks intake for a minute: never where real surveys are), set
  AWS_REGION, and credentials that may administer the deployment (AWS_PROFILE or AWS_ACCESS_KEY_ID, AWS_SECRET_ACCESS_KEY,
    AWS_SESSION_TOKEN)
  STAKELINE_TEST_ENGINEER   the address that findings are mailed to; the SES sandbox takes verified ones only
and leave these unset, which only an emulator has:
  AWS_ENDPOINT_URL          where the emulator is; its mails are read from there, else the mails sent are counted by SES
  STAKELINE_CALLS           where record-calls.mjs writes the calls of the functions; without it their permissions are not held
                            against what they did
"""
import json
import os
import sys
import urllib.request
import uuid

import boto3
import exports
import logs
import pages
import poison
import steps
from service import caller, check, send

outputs = json.load(open(sys.argv[1], encoding="utf8"))
data, service = outputs["stakeline-data"], outputs["stakeline-service"]
endpoint = os.environ.get("AWS_ENDPOINT_URL")
calls_file = os.environ.get("STAKELINE_CALLS")
api_id = service["Url"].split("//")[1].split(".")[0]
base = f"{endpoint}/_aws/execute-api/{api_id}/$default" if endpoint else service["Url"].rstrip("/")
call = caller(base)
PASSWORD = f"Aa1-{uuid.uuid4()}"
signed = []


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


def post_form(url, fields, content):
    boundary = uuid.uuid4().hex
    part = '--{}\r\nContent-Disposition: form-data; name="{}"'
    body = b"".join((part + "\r\n\r\n{}\r\n").format(boundary, k, v).encode() for k, v in fields.items())
    body += (part + '; filename="round.csv"\r\nContent-Type: text/csv\r\n\r\n').format(boundary, "file").encode()
    body += content + f"\r\n--{boundary}--\r\n".encode()
    headers = {"Content-Type": f"multipart/form-data; boundary={boundary}"}
    return send(urllib.request.Request(url, method="POST", data=body, headers=headers))


def by_ticket(content):
    """A file straight into the bucket, with a ticket; a changed ticket is refused."""
    ticket = json.loads(call("POST", "/api/uploads/ticket", crew, b'{"fileName":"round.csv"}')[1])
    seen = post_form(ticket["url"], {**ticket["fields"], "Content-Type": "text/html"}, content)
    check("the bucket refuses another type than the ticket's", seen[0] == 403, seen)
    seen = post_form(ticket["url"], ticket["fields"], content)
    check("a large file goes to the bucket directly", seen[0] in (200, 204), seen)
    bucket = boto3.client("lambda").get_function_configuration(FunctionName=service["webfunction"])
    bucket = bucket["Environment"]["Variables"]["ARCHIVE_BUCKET"]
    signed.append(("web", "s3:PutObject", f"arn:aws:s3:::{bucket}/{ticket['fields']['key']}"))
    return ticket["id"]


# So many of one electrode that intake stores them by batch, in its turn.
MANY = steps.CSV.splitlines(keepends=True)[0] + b"".join(
    f"B-{n},E-1,{1980 + n // 2}-0{1 + n % 2}-10T10:00:00Z,30,79,80,81\n".encode() for n in range(80)
)


def through_the_api(content=MANY):
    seen = call("POST", "/api/uploads?fileName=later.csv", crew, content, "text/csv")
    check("a small file goes through the API", seen[0] in (200, 201, 202), seen)
    return json.loads(seen[1])["id"]


def mails():
    if endpoint:
        return send(urllib.request.Request(f"{endpoint}/_ministack/ses/messages"))[1]
    sent = boto3.client("sesv2").get_account()["SendQuota"]["SentLast24Hours"]
    return steps.ENGINEER if sent > sent_before else ""


def wake(task):
    answer = boto3.client("lambda").invoke(FunctionName=service["upkeepfunction"], Payload=json.dumps(task).encode())
    return answer.get("FunctionError"), answer["Payload"].read()


sent_before = 0 if endpoint else boto3.client("sesv2").get_account()["SendQuota"]["SentLast24Hours"]
steps.strangers_are_refused(call)
admin, crew, quality = token("admin"), token("field"), token("quality")
steps.a_round(call, admin, crew, quality, by_ticket, mails)

schedules = boto3.client("scheduler")
names = [s["Name"] for s in schedules.list_schedules()["Schedules"]]
events = [json.loads(schedules.get_schedule(Name=n)["Target"]["Input"]) for n in names]
check("schedules wake upkeep, for the sweep and by night", {"sweep", "instruments", "count", "learn", "drafts", "urgent-unanswered", "warnings-unanswered"} <= {e["task"] for e in events}, events)
for event in events:
    failed, told = wake(event)
    check(f"upkeep does what its schedule asks: {event['task']}", failed is None, told)
sites = json.loads(call("GET", "/api/sites", quality)[1])
check("the fleet is counted", sites["countedAt"] and all("counts" in s for s in sites["items"]), sites)
check("an event that names no task is refused", wake({})[0] is not None)

pages.a_draft_is_shown_and_goes(base, service, steps.CSV, wake)
read_file = lambda content: steps.upload_state(call, crew, through_the_api(content), 120)
signed.append(exports.a_long_export(call, base, service, admin, quality, read_file))
poison.nonsense_ends_in_dead_letters(service)
poison.redrive_mends(service, through_the_api, lambda upload: steps.upload_state(call, crew, upload))
seen = call("GET", "/findings")
check("pages lead to the sign-in", seen[0] in (302, 303), seen)
# Where the pool's own page would be is not in the emulator; up to there it is our code, which reads the session key.
seen = call("GET", "/sign-in?to=%2Ffindings")
check("the sign-in begins", seen[0] in (200, 302, 303), seen)

logs.tell_the_whole_way(service, [steps.ENGINEER, "field@example.org", crew, quality, PASSWORD])
if calls_file:
    import permissions

    permissions.hold_against(calls_file, service, signed)
