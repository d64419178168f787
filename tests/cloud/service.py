"""What every scenario needs: a check that ends the run when it fails, calls to a service, waiting for something to become true."""
import time
import urllib.error
import urllib.request


def check(what, holds, seen=""):
    print(("ok    " if holds else "WRONG ") + what, flush=True)
    if not holds:
        raise SystemExit(f"{what}: {str(seen)[:1500]}")


class NoRedirect(urllib.request.HTTPRedirectHandler):
    def redirect_request(self, *_):
        return None


opener = urllib.request.build_opener(NoRedirect)


def send(request):
    """Status and text of the answer; a refusal or a redirection is an answer too."""
    try:
        answer = opener.open(request, timeout=40)
        return answer.status, answer.read().decode()
    except urllib.error.HTTPError as error:
        return error.code, error.read().decode()


def caller(base):
    """call(method, path, bearer, body, content_type) to the service at this address."""

    def call(method, path, bearer=None, body=None, content_type="application/json"):
        headers = {"Content-Type": content_type}
        if bearer:
            headers["Authorization"] = f"Bearer {bearer}"
        return send(urllib.request.Request(base + path, method=method, data=body, headers=headers))

    return call


def until(ask, done, seconds=60):
    """Asks twice a second until the answer will do or the time is over, and gives the last answer."""
    end = time.time() + seconds
    while True:
        seen = ask()
        if done(seen) or time.time() > end:
            return seen
        time.sleep(0.5)
