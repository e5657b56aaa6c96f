"""What every request goes through, before any page sees it."""

import logging
import re
from collections.abc import Callable
from secrets import token_hex

from django.conf import settings
from django.contrib.auth import logout
from django.core.exceptions import BadRequest
from django.db import DatabaseError, InterfaceError, OperationalError, connection
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.urls import reverse
from django.utils import translation
from django.utils.cache import patch_vary_headers

from habitats.common.languages import is_spoken, of_the_browser
from habitats.logs import request_id
from habitats.people.models.devices import is_over, keep_up
from habitats.people.models.people import Person
from habitats.rescue.models.rescue import Rescue
from habitats.rescue.models.second_factor_rule import still_asked_for

REQUEST_ID_HEADER = "X-Request-ID"
REQUEST_ID = re.compile(r"[A-Za-z0-9._-]{6,64}")
NUL = "\0"
NUL_IN_A_QUERY = "%00"
UTF_8 = ("utf-8", "utf8")
DEADLOCK = "40P01"  # “deadlock_detected”, as PostgreSQL calls it
# None of them is of use without signal.
ABOUT_PEOPLE = ("/people/", "/my-settings/", "/adopters/", "/adoptions/", "/wishes/", "/import/")

Answer = Callable[[HttpRequest], HttpResponse]
log = logging.getLogger(__name__)


def numbered(answer: Answer) -> Answer:
    """Each request has a number, in every line of the log about it and in the answer's head.

    One that a reverse proxy gave is taken over, so that its log and ours tell of the same request;
    from anybody else it could be made to look like another's. It stays until the thread's next
    request: Django logs a refusal after all middleware.
    """

    def look(request: HttpRequest) -> HttpResponse:
        given = request.headers.get(REQUEST_ID_HEADER, "")
        is_given = settings.BEHIND_PROXY and REQUEST_ID.fullmatch(given)
        number = given if is_given else token_hex(6)
        request_id.set(number)
        response = answer(request)
        response.headers[REQUEST_ID_HEADER] = number
        return response

    return look


def well_formed(answer: Answer) -> Answer:
    """Refuse what no browser sends of itself, and what pages could not all be trusted to refuse.

    There is no page at an address with a NUL, which PostgreSQL takes in no text. Nobody types one;
    in forms that are sent, Django's fields refuse it with a sentence. And text is UTF-8: of other
    charsets Django refuses some, and breaks on those that are none of text.
    """

    def look(request: HttpRequest) -> HttpResponse:
        if NUL in request.path_info or NUL_IN_A_QUERY in request.META.get("QUERY_STRING", ""):
            raise Http404("An address holds no NUL.")
        if (request.content_params or {}).get("charset", UTF_8[0]).lower() not in UTF_8:
            raise BadRequest("What is sent has to be in UTF-8.")
        return answer(request)

    return look


def in_readers_language(answer: Answer) -> Answer:
    """Each page in the language that its reader chose, else the browser's, else the rescue's.

    Pages of a kit, whose reader has no account, choose theirs themselves.
    """

    def speak(request: HttpRequest) -> HttpResponse:
        with translation.override(_language_of(request)):
            response = answer(request)
            response.headers.setdefault("Content-Language", translation.get_language() or "")
        patch_vary_headers(response, ("Accept-Language",))
        return response

    return speak


def own_password_first(answer: Answer) -> Answer:
    """Who logged in with a password that was made for them chooses one before any other page, and
    a coordinator of whom the rescue asks it sets up the second factor.

    What a phone sends or fetches for itself goes on: nothing that was done is lost.
    """

    def look(request: HttpRequest) -> HttpResponse:
        is_page = request.method == "GET" and "text/html" in request.headers.get("Accept", "")
        if is_page and isinstance(request.user, Person):
            first = _before_any_other(request, request.user)
            if first and request.path != reverse(first):
                return redirect(first)
        return answer(request)

    return look


def _before_any_other(request: HttpRequest, person: Person) -> str:
    if person.has_first_password:
        return "own_password"
    return "own_second_factor" if still_asked_for(request) else ""


def device_in_use(answer: Answer) -> Answer:
    """A person's list of devices says when each was last used; a log-in ends after its time."""

    def look(request: HttpRequest) -> HttpResponse:
        if isinstance(request.user, Person):
            if is_over(request):
                logout(request)
            else:
                keep_up(request, request.user)
        return answer(request)

    return look


def kept_by_browsers(answer: Answer) -> Answer:
    """How a browser may keep a page that a person logged in for, where its view does not say.

    Pages about people are not kept at all, so that nobody reads them with the back button after a
    log-out. All others are asked for again before they are shown; what is stored for work without
    signal is stored by our own worker, which these words do not concern.
    """

    def look(request: HttpRequest) -> HttpResponse:
        response = answer(request)
        if isinstance(getattr(request, "user", None), Person) and _is_page(response):
            about_people = request.path.startswith(ABOUT_PEOPLE)
            words = "private, no-store" if about_people else "private, no-cache"
            response.headers.setdefault("Cache-Control", words)
        return response

    return look


def _is_page(response: HttpResponse) -> bool:
    return "text/html" in response.headers.get("Content-Type", "")


def _language_of(request: HttpRequest) -> str:
    try:
        return _chosen_language(request)
    except (DatabaseError, InterfaceError):
        # The page will say so, if it asks for anything: in the best language known without.
        return of_the_browser(request) or settings.LANGUAGE_CODE


def _chosen_language(request: HttpRequest) -> str:
    person = request.user
    if isinstance(person, Person) and is_spoken(person.language):
        return person.language
    if of_browser := of_the_browser(request):
        return of_browser
    of_rescue = Rescue.language_of_ours()
    return of_rescue if is_spoken(of_rescue) else settings.LANGUAGE_CODE


class AskedAgain:
    """A page that is only looked at is made once more where PostgreSQL ended it for another's sake.

    Of two that wait for each other's rows it ends one, and undoes what that one kept. What pages
    keep is written in one order, so that it hardly ever comes to it. A form is not done again: a
    part of it may stand already. Who sent it is told.
    """

    def __init__(self, answer: Answer) -> None:
        self.answer = answer

    def __call__(self, request: HttpRequest) -> HttpResponse:
        return self.answer(request)

    def process_exception(self, request: HttpRequest, fault: Exception) -> HttpResponse | None:
        """None: the fault takes its course; so does one that comes the second time."""
        view = request.resolver_match
        is_looked_at = request.method in ("GET", "HEAD") and not connection.in_atomic_block
        if not (view and is_looked_at and _is_deadlock(fault)):
            return None
        log.warning("Ended by a deadlock, and made once more: %s", request.path_info)
        return view.func(request, *view.args, **view.kwargs)


def _is_deadlock(fault: Exception) -> bool:
    return isinstance(fault, OperationalError) and (
        getattr(fault.__cause__, "sqlstate", "") == DEADLOCK
    )
