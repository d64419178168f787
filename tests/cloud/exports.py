"""An export longer than one answer: asked for, made as a file by a function of its own, fetched by who asked and by nobody else."""
import json
import urllib.error
import urllib.request

import boto3
from service import check, until

# Notes stand once in what is handed in, and in each row of what comes out: a small file in, more than 4 MB out.
HEAD = b"survey_ref,electrode_id,tested_at,current_probe_m,potential_probe_m,resistance_ohm,notes\n"
SURVEYS, READINGS, NOTES = 40, 100, "what was seen " * 90


def rows_of(survey):
    """One survey; readings unlike those of any other."""
    for i in range(1, READINGS):
        own = f"19{50 + survey}-06-10T10:00:00Z,100" if i == 1 else ","
        notes = NOTES.strip() if i == 1 else ""
        yield f"L-{survey},E-1,{own},{i},{60 + survey * 0.37 + i * 0.013:.3f},{notes}\n".encode()


LONG = HEAD + b"".join(row for survey in range(SURVEYS) for row in rows_of(survey))


def a_long_export(call, base, service, admin, quality, read_file):
    """`read_file(content)` hands a file in and waits. Gives what web signed, as (function, action, resource)."""
    told = read_file(LONG)
    check("surveys with long notes are stored", told.get("surveysAccepted") == SURVEYS, told)
    seen = call("GET", "/api/export/surveys.csv", quality)
    check("an export longer than one answer becomes a job", seen[0] == 202, seen)
    job = json.loads(seen[1])
    address = f"/api/exports/{job['id']}"
    seen = until(lambda: call("GET", address, quality), lambda a: json.loads(a[1]).get("state") in ("ready", "failed"))
    ready = json.loads(seen[1])
    check("it is made", ready["state"] == "ready" and ready["byteLength"] > 4_194_304, seen)
    check("nobody else finds it", call("GET", address, admin)[0] == 404 and call("GET", f"{address}/file", admin)[0] == 404)
    check("who asked is led to the file", call("GET", f"{address}/file", quality)[0] == 303)
    request = urllib.request.Request(base + f"{address}/file", headers={"Authorization": f"Bearer {quality}"})
    location = location_of(request)
    with urllib.request.urlopen(location, timeout=40) as answer:
        text = answer.read()
    check("the file is whole", len(text) == ready["byteLength"] and text.count(b"L-39,") == READINGS - 1, len(text))
    variables = boto3.client("lambda").get_function_configuration(FunctionName=service["webfunction"])["Environment"]["Variables"]
    return "web", "s3:GetObject", f"arn:aws:s3:::{variables['ARCHIVE_BUCKET']}/exports/{job['id']}.csv"


def location_of(request):
    """Where an answer leads, without going there: the token must not go along."""

    class Stay(urllib.request.HTTPRedirectHandler):
        def redirect_request(self, *_):
            return None

    try:
        urllib.request.build_opener(Stay).open(request, timeout=40)
    except urllib.error.HTTPError as led:
        return led.headers["Location"]
    raise SystemExit("the file leads nowhere")
