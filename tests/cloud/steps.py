"""What a crew, a quality team and an engineer do over HTTP, the same for every deployment. What differs is handed in."""
import json
import os

from service import check, until

ENGINEER = os.environ.get("STAKELINE_TEST_ENGINEER", "eng@example.org")
REGISTER = f"electrode_id,site_id,kind,length_m,limit_ohm,responsible_email\nE-1,S-1,rod,3,25,{ENGINEER}\n".encode()
SURVEY = {
    "surveyRef": "S-1", "electrodeId": "E-1", "testedAt": "2026-11-04T10:20:00+01:00", "currentProbeM": 30,
    "method": "fall-of-potential", "measuredAs": "electrode-alone",
    "readings": [{"potentialProbeM": p, "resistanceOhm": r} for p, r in ((15.6, 80.9), (18.6, 81.0), (21.6, 81.2))],
}
CSV = (
    b"survey_ref,electrode_id,tested_at,current_probe_m,r52_ohm,r62_ohm,r72_ohm\n"
    b"U-1,E-1,2026-11-10T10:00:00Z,30,79,80,81\nU-2,E-9,2026-11-10T10:00:00Z,30,79,80,81\n"
)


def upload_state(call, bearer, upload_id, seconds=60):
    """What the service says of an upload when it is read, or when the time is over."""
    ended = lambda a: a[0] == 200 and json.loads(a[1])["state"] in ("done", "failed")
    return json.loads(until(lambda: call("GET", f"/api/uploads/{upload_id}", bearer), ended, seconds)[1])


def strangers_are_refused(call):
    check("the service answers without a token to health alone", call("GET", "/healthz")[0] == 200)
    check("the API asks who is there", call("GET", "/api/sites")[0] == 401)
    check("a forged token is none", call("GET", "/api/sites", "eyJhbGciOiJub25lIn0.e30.")[0] == 401)


def a_round(call, admin, crew, quality, hand_in_file, mails):
    """`hand_in_file(bytes)` gives the upload's id; `mails()` the text of all mails so far. Gives the id of the decided finding."""
    seen = call("POST", "/api/register", admin, REGISTER, "text/csv")
    check("the administrator hands the register in", seen[0] == 200, seen)
    check("the crew may not", call("POST", "/api/register", crew, REGISTER, "text/csv")[0] == 403)

    body = json.dumps(SURVEY).encode()
    seen = call("POST", "/api/surveys", crew, body)
    check("a crew's survey is judged at once", seen[0] == 201 and json.loads(seen[1])["validity"] == "valid", seen)
    check("the same again changes nothing", call("POST", "/api/surveys", crew, body)[0] == 200)

    told = upload_state(call, crew, hand_in_file(CSV))
    counts = (told.get("surveysAccepted"), told.get("surveysHeld"))
    check("the file is read: one survey stored, one held", counts == (1, 1), told)

    found = until(lambda: call("GET", "/api/findings?state=open", quality), lambda a: len(json.loads(a[1])["items"]) >= 2)
    items = json.loads(found[1])["items"]
    check("the quality team sees what was found", "limit-exceeded" in [i["code"] for i in items], found)
    told = until(mails, lambda text: ENGINEER in text)
    check("the engineer is told by mail", ENGINEER in told, told)

    decision = json.dumps({"action": "accept", "reason": "An extension is planned for March."}).encode()
    address = f"/api/findings/{items[0]['id']}/decisions"
    seen = call("POST", address, crew, decision)
    check("the crew cannot decide", seen[0] == 403, seen)
    seen = call("POST", address, quality, decision)
    check("the quality team decides", seen[0] in (200, 201), seen)

    seen = call("POST", "/api/register", admin, REGISTER.replace(b"E-1", b"E-9"), "text/csv")
    check("the register gains the electrode of the held survey", seen[0] == 200, seen)
    surveys = until(lambda: call("GET", "/api/electrodes/E-9", quality), lambda a: a[0] == 200)
    check("the new electrode is there", surveys[0] == 200, surveys)
