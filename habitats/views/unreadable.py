"""The answer to what cannot be read as a request at all.

Django's own asks for the form's token once more, so it breaks on the very body that cannot be read.
"""

from django.conf import settings
from django.core.exceptions import RequestDataTooBig, TooManyFieldsSent, TooManyFilesSent
from django.http import HttpRequest, HttpResponse, HttpResponseBadRequest
from django.template.loader import render_to_string

TOO_MANY = "It has more than {most} {what}. Send fewer at a time."
BROKEN = "It is no form of ours, or it broke on the way. Load the page again, and send it again."


def unreadable(request: HttpRequest, exception: Exception) -> HttpResponse:
    """Nothing was changed. The page is shown without what makes others, which may not be read."""
    return HttpResponseBadRequest(render_to_string("400.html", {"why": _why(exception)}))


def _why(fault: Exception) -> str:
    match fault:
        case TooManyFieldsSent():
            return TOO_MANY.format(most=settings.DATA_UPLOAD_MAX_NUMBER_FIELDS, what="fields")
        case TooManyFilesSent():
            return TOO_MANY.format(most=settings.DATA_UPLOAD_MAX_NUMBER_FILES, what="files")
        case RequestDataTooBig():
            most = settings.DATA_UPLOAD_MAX_MEMORY_SIZE // 1024**2
            return f"It is larger than {most} MB. Send less at a time."
    return BROKEN
