"""The rescue's rule that coordinators log in with a second factor.

It is asked at the log-in, so that who is logged in when it is set goes on. Who has none sets one up
before any other page, with the password that was right: the rule locks nobody out.
"""

from django.contrib.auth.signals import user_logged_in
from django.http import HttpRequest

from habitats.people.models.people import Person
from habitats.people.models.second_factor import ASKED_FOR, has_second_factor
from habitats.rescue.models.rescue import Rescue


def still_asked_for(request: HttpRequest) -> bool:
    """Whether this log-in has to set one up first; not any more once the rule is lifted."""
    if ASKED_FOR not in request.session:
        return False
    if not Rescue.ours().coordinators_need_second_factor:
        del request.session[ASKED_FOR]
        return False
    return True


def _logged_in(request: HttpRequest | None, user: Person, **_more: object) -> None:
    if request is None or not user.is_coordinator or not hasattr(request, "session"):
        return
    if Rescue.ours().coordinators_need_second_factor and not has_second_factor(user):
        request.session[ASKED_FOR] = True


def listen() -> None:
    user_logged_in.connect(_logged_in, dispatch_uid="ask_for_second_factor")
