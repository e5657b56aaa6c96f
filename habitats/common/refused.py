"""The pages of what is refused before a page of ours has seen it, or by one.

Django's own ask for the form's token once more, and break on a body that cannot be read: a request
that is refused would end as a 500.
"""

from django.conf import settings
from django.core.exceptions import RequestDataTooBig, TooManyFieldsSent, TooManyFilesSent
from django.http import HttpRequest, HttpResponse, HttpResponseBadRequest
from django.shortcuts import render
from django.template.loader import render_to_string

NOT_FOUND, FORBIDDEN = 404, 403
TOO_MANY = "It has more than {most} {what}. Send fewer at a time."
BROKEN = "It is no form of ours, or it broke on the way. Load the page again, and send it again."


def unreadable(request: HttpRequest, exception: Exception) -> HttpResponse:
    """Nothing was changed. The page is shown without what makes others, which may not be read."""
    return HttpResponseBadRequest(render_to_string("400.html", {"why": _why(exception)}))


def not_found(request: HttpRequest, exception: Exception) -> HttpResponse:
    return render(request, "404.html", status=NOT_FOUND)


def forbidden(request: HttpRequest, exception: Exception) -> HttpResponse:
    return render(request, "403.html", {"exception": str(exception)}, status=FORBIDDEN)


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
