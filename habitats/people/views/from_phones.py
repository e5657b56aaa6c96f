"""What a phone kept while it was without signal, and sends with the forms' own addresses.

A form that was sent on a page is answered with a page; the same form sent from the phone's queue
says so in a header, and is answered with JSON: what a person would have read.
"""

from collections.abc import Callable
from functools import wraps
from typing import Any, Concatenate, ParamSpec

from django.contrib import messages
from django.contrib.auth.decorators import login_not_required
from django.core.exceptions import PermissionDenied
from django.http import Http404, HttpRequest, HttpResponse, JsonResponse
from django.middleware.csrf import get_token
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_GET

from habitats.common.sent import UNPROCESSABLE, RefusedPage
from habitats.people.access import signed_in
from habitats.people.models.people import Person
from habitats.people.views.based_on import Basis

HEADER = "X-Kept-On-Phone"
NOBODY, FORBIDDEN, GONE = 401, 403, 410
MOVED = range(300, 400)
Rest = ParamSpec("Rest")
View = Callable[Concatenate[HttpRequest, Rest], HttpResponse]


# Public, so that a phone whose log-in has ended is told so in its own words, and not by a page.
@login_not_required
@require_GET
@never_cache
def who(request: HttpRequest) -> JsonResponse:
    """Who is logged in on this phone, with a fresh token and our time."""
    if not request.user.is_authenticated:
        return JsonResponse({"why": _("Log in again.")}, status=NOBODY)
    return JsonResponse(who_and_when(request, signed_in(request)))


def who_and_when(request: HttpRequest, person: Person) -> dict[str, Any]:
    """``now`` lets the phone measure how wrong its clock is."""
    return {
        "token": get_token(request),
        "person": person.pk,
        "now": timezone.now().isoformat(timespec="milliseconds"),
    }


def takes_from_phones(view: View[Rest]) -> View[Rest]:
    """A view with a form; what came from a phone's queue is answered with JSON.

    Taken: ``{"sentence", "is_odd"}``, odd where it says more than that all is well. Refused:
    ``{"why"}``, and a status from 400 up.
    """

    @wraps(view)
    def answered(request: HttpRequest, *args: Rest.args, **names: Rest.kwargs) -> HttpResponse:
        if HEADER not in request.headers or request.method != "POST":
            return view(request, *args, **names)
        try:
            return _as_json(request, view(request, *args, **names))
        except PermissionDenied as refused:
            return JsonResponse(
                {"why": str(refused) or _("Your role does not allow this.")}, status=FORBIDDEN
            )
        except Http404:
            return JsonResponse({"why": _("This no longer exists.")}, status=GONE)

    return answered


def _as_json(request: HttpRequest, answer: HttpResponse) -> JsonResponse:
    said = list(messages.get_messages(request))
    sentence = " ".join(str(one) for one in said)
    if answer.status_code in MOVED:
        is_odd = any(one.level > messages.SUCCESS for one in said)
        return JsonResponse({"sentence": sentence, "is_odd": is_odd})
    faults = answer.faults if isinstance(answer, RefusedPage) else ()
    said_why = [sentence, *_changed_meanwhile(request), *faults]
    why = " ".join(said_why).strip() or _("The server did not accept it.")
    return JsonResponse({"why": why}, status=max(answer.status_code, UNPROCESSABLE))


def _changed_meanwhile(request: HttpRequest) -> list[str]:
    """What the page that was stored on the phone no longer says as it is."""
    basis: Basis | None = vars(request).get("basis")
    if basis is None or not basis.is_refused:
        return []
    now = [
        _("%(fact)s: %(now)s, changed by %(person)s")
        % {"fact": one.label, "now": one.words, "person": one.by}
        if one.by
        else f"{one.label}: {one.words}"
        for one in basis.changes
    ]
    return [_("This has changed since the page was opened: %(now)s.") % {"now": "; ".join(now)}]
