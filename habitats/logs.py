"""What the log says of requests: one line each, with the number by which a person can ask about it.

A line of text is for eyes; LOG_FORMAT=json writes one JSON object a line (keys below) for programs
that gather logs. Both go to standard error: what starts the server (systemd, a container) keeps,
dates and rotates them.
"""

import json
import logging
from contextvars import ContextVar
from datetime import UTC, datetime

SERVER_FAULT = 500
OUTSIDE_A_REQUEST = "-"
# Parts of addresses, by their names in urls.py, that are a key to the page.
SECRET_PARTS = ("token", "secret")
HIDDEN = "…"

# Of the request that this thread answers.
request_id: ContextVar[str] = ContextVar("request_id", default=OUTSIDE_A_REQUEST)


class RefusalsInOneLine(logging.Filter):
    """Takes the traceback from what Django logs of an answer that is no fault of the server."""

    def filter(self, record: logging.LogRecord) -> bool:
        if getattr(record, "status_code", SERVER_FAULT) < SERVER_FAULT:
            record.exc_info = record.exc_text = None
        return True


class WithRequestId(logging.Filter):
    """Gives each record `request_id`; a dash outside a request."""

    def filter(self, record: logging.LogRecord) -> bool:
        record.request_id = request_id.get()
        return True


class WithoutSecrets(logging.Filter):
    """Takes out of a line what opens a page without a log-in, such as the link of a kit."""

    def filter(self, record: logging.LogRecord) -> bool:
        for secret in _secrets_of(getattr(record, "request", None)):
            record.msg, record.args = record.getMessage().replace(secret, HIDDEN), ()
        return True


class JsonLines(logging.Formatter):
    """One JSON object a line: `time` (RFC 3339, UTC), `level`, `logger`, `message`, `request_id`.

    Of an answer also `status`, `method`, `path` (without the query, which may hold what somebody
    searched for) and `person` (number, null when nobody is logged in); of a fault `traceback`.
    """

    def format(self, record: logging.LogRecord) -> str:
        line: dict[str, object] = {
            "time": datetime.fromtimestamp(record.created, UTC).isoformat(timespec="milliseconds"),
            "level": record.levelname,
            "logger": record.name,
            "message": record.getMessage(),
            "request_id": getattr(record, "request_id", OUTSIDE_A_REQUEST),
        }
        if status := getattr(record, "status_code", None):
            line["status"] = status
        line |= _of_request(getattr(record, "request", None))
        if record.exc_info:
            line["traceback"] = self.formatException(record.exc_info)
        return json.dumps(line, ensure_ascii=False)


def _of_request(request: object) -> dict[str, object]:
    """Empty for what is no request of Django's: other libraries use the same attribute."""
    if not hasattr(request, "path") or not hasattr(request, "method"):
        return {}
    # Never asked of the database, which may be what the line is about.
    person = vars(request).get("_cached_user")
    path = str(request.path)
    for secret in _secrets_of(request):
        path = path.replace(secret, HIDDEN)
    return {"method": request.method, "path": path, "person": getattr(person, "pk", None)}


def _secrets_of(request: object) -> list[str]:
    found = getattr(request, "resolver_match", None)
    return [found.kwargs[name] for name in SECRET_PARTS if found and name in found.kwargs]
