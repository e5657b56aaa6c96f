"""The pages of what is refused before a page of ours has seen it, or by one.

Django's own ask for the form's token once more, and break on a body that cannot be read: a request
that is refused would end as a 500.
"""

from django.conf import settings
from django.core.exceptions import RequestDataTooBig, TooManyFieldsSent, TooManyFilesSent
from django.http import HttpRequest, HttpResponse, HttpResponseBadRequest
from django.shortcuts import render
from django.template.loader import render_to_string
from django.utils.translation import gettext as _

NOT_FOUND, FORBIDDEN = 404, 403


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
