"""The pages of what is refused before a page of ours has seen it, or by one.

Django's own ask for the form's token once more, and break on a body that cannot be read: a request
that is refused would end as a 500.
"""

import errno
import sys

from django.conf import settings
from django.core.exceptions import RequestDataTooBig, TooManyFieldsSent, TooManyFilesSent
from django.db import DatabaseError, InterfaceError, OperationalError
from django.http import HttpRequest, HttpResponse, HttpResponseBadRequest
from django.shortcuts import render
from django.template.loader import render_to_string
from django.utils.translation import gettext as _

from habitats.common.bucket import BucketAway
from habitats.logs import request_id

FORBIDDEN, NOT_FOUND, SERVER_FAULT, UNAVAILABLE = 403, 404, 500, 503
# What SQLite, PostgreSQL and the system say, each in its own words, in their English.
FULL = ("database or disk is full", "no space left on device", "could not extend file")
# A disk that the kernel made read-only after a fault is an I/O error to SQLite.
READ_ONLY = ("readonly database", "read-only", "disk i/o error")
BUSY = ("database is locked", "database table is locked", "lock timeout", "deadlock detected")


def unreadable(request: HttpRequest, exception: Exception) -> HttpResponse:
    """Nothing was changed. The page is shown without what makes others, which may not be read."""
    return HttpResponseBadRequest(render_to_string("400.html", {"why": _why(exception)}))


def not_found(request: HttpRequest, exception: Exception) -> HttpResponse:
    return render(request, "404.html", status=NOT_FOUND)


def forbidden(request: HttpRequest, exception: Exception) -> HttpResponse:
    return render(request, "403.html", {"exception": str(exception)}, status=FORBIDDEN)


def server_fault(request: HttpRequest) -> HttpResponse:
    """Of faults of the machine, what is wrong and what to do; of ours, the number in the log.

    Nothing is asked of the database, which may be what failed. 503 says to a phone that kept what
    it sends, and to a reverse proxy, that the same may go well later.
    """
    why = _why_not_now(sys.exception())
    page = render_to_string("500.html", {"why": why, "request_id": request_id.get()})
    return HttpResponse(page, status=UNAVAILABLE if why else SERVER_FAULT)


def _why_not_now(fault: BaseException | None) -> str:
    """Empty for a fault that is no machine's: trying again would not help."""
    said = str(fault).lower()
    is_databases = isinstance(fault, DatabaseError | InterfaceError)
    of_system = fault.errno if isinstance(fault, OSError) else None
    if isinstance(fault, BucketAway):
        return _("The store of photos does not answer. Nothing was saved. Tell a coordinator.")
    if of_system in (errno.ENOSPC, errno.EDQUOT) or (is_databases and _has_any(said, FULL)):
        return _("The server’s disk is full. Nothing was saved. Ask a coordinator to free space.")
    if of_system == errno.EROFS or (is_databases and _has_any(said, READ_ONLY)):
        return _("The server may not write to its disk. Nothing was saved. Tell a coordinator.")
    if is_databases and _has_any(said, BUSY):
        return _("The server is busy with other changes. Nothing was saved. Try again in a minute.")
    if isinstance(fault, OperationalError | InterfaceError):
        return _("The database does not answer. Nothing was saved. Tell a coordinator.")
    return ""


def _has_any(said: str, signs: tuple[str, ...]) -> bool:
    return any(sign in said for sign in signs)


def _why(fault: Exception) -> str:
    match fault:
        case TooManyFieldsSent():
            most = settings.DATA_UPLOAD_MAX_NUMBER_FIELDS
            return _("The form has more than %(most)d fields. Send fewer at a time.") % {
                "most": most
            }
        case TooManyFilesSent():
            most = settings.DATA_UPLOAD_MAX_NUMBER_FILES
            return _("The form has more than %(most)d files. Send fewer at a time.") % {
                "most": most
            }
        case RequestDataTooBig():
            most = settings.DATA_UPLOAD_MAX_MEMORY_SIZE // 1024**2
            return _("The form is larger than %(most)d MB. Send less at a time.") % {"most": most}
    return _(
        "The form is incomplete, or not from this site. Load the page again and send it again."
    )
