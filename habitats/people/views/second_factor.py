"""The second factor: asked for at log-in, set up and removed on the person's own pages."""

import time

from django.contrib import messages
from django.contrib.auth import login
from django.contrib.auth.decorators import login_not_required
from django.contrib.auth.signals import user_login_failed
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.crypto import constant_time_compare
from django.utils.http import url_has_allowed_host_and_scheme
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods, require_POST

from habitats.common.qr import qr_of_a_secret
from habitats.common.sent import form_page, sent_with
from habitats.people.access import coordinator_or_403, signed_in
from habitats.people.forms.second_factor import AppCodeForm, SecondFactorForm
from habitats.people.models.access_events import AccessEvent, note
from habitats.people.models.devices import end
from habitats.people.models.people import Person
from habitats.people.models.second_factor import (
    ASKED_FOR,
    has_second_factor,
    key_address,
    make_recovery_codes,
    new_key,
    readable,
    recovery_codes_left,
    remove,
    set_up,
)

BACKEND = "django.contrib.auth.backends.ModelBackend"
WAITING, KEY = "second_factor_of", "second_factor_key"
# For how long the password that was typed counts.
MINUTES = 10


def ask_for_code(request: HttpRequest, person: Person, then: str) -> HttpResponse:
    """The password was right: go on to the second page of the log-in."""
    request.session.cycle_key()
    request.session[WAITING] = {
        "person": person.pk,
        "password": person.get_session_auth_hash(),
        "at": time.time(),
        "then": then,
    }
    return redirect("log_in_code")


def _who_waits(request: HttpRequest) -> Person | None:
    """Who typed the password a moment ago, as long as it is still theirs."""
    waiting = request.session.get(WAITING)
    # Either way: a clock that is set back makes it count no longer.
    if not waiting or abs(time.time() - waiting["at"]) > MINUTES * 60:
        return None
    person = Person.objects.filter(pk=waiting["person"], is_active=True).first()
    if person is None:
        return None
    typed = waiting.get("password", "")
    return person if constant_time_compare(typed, person.get_session_auth_hash()) else None


@login_not_required
@never_cache
@require_http_methods(["GET", "POST"])
def log_in_code(request: HttpRequest) -> HttpResponse:
    person = _who_waits(request)
    if person is None:
        return redirect("login")
    form = SecondFactorForm(person, sent_with(request))
    if request.method == "POST":
        if form.is_valid():
            return _logged_in(request, person, form)
        if "code" in form.data:
            _note_refusal(request, person)
    return form_page(request, "people/log_in_code.html", form=form)


def _logged_in(request: HttpRequest, person: Person, form: SecondFactorForm) -> HttpResponse:
    then = request.session.pop(WAITING)["then"]
    login(request, person, backend=BACKEND)
    if form.was_recovery_code:
        note(AccessEvent.Kind.RECOVERY_CODE_USED, person, request)
        left = recovery_codes_left(person)
        messages.warning(
            request,
            ngettext(
                "%(number)d recovery code is left. Make new ones under “My settings”.",
                "%(number)d recovery codes are left. Make new ones under “My settings”.",
                left,
            )
            % {"number": left},
        )
    is_ours = url_has_allowed_host_and_scheme(then, allowed_hosts={request.get_host()})
    return redirect(then if is_ours else "home")


def _note_refusal(request: HttpRequest, person: Person) -> None:
    """Counts as a wrong password does: who goes on guessing has to wait."""
    credentials = {"username": person.username}
    user_login_failed.send(sender=__name__, credentials=credentials, request=request)


@never_cache
@require_http_methods(["GET", "POST"])
def own_second_factor(request: HttpRequest) -> HttpResponse:
    """Set up, with the secret in this session until the app has shown that it has it."""
    person = signed_in(request)
    if has_second_factor(person):
        request.session.pop(ASKED_FOR, None)
        left = recovery_codes_left(person)
        return render(request, "people/second_factor.html", {"codes_left": left})
    key = request.session.setdefault(KEY, new_key())
    form = AppCodeForm(key, sent_with(request))
    if request.method == "POST" and form.is_valid():
        codes = set_up(person, key)
        del request.session[KEY]
        request.session.pop(ASKED_FOR, None)
        end(person.devices.exclude(session_key=request.session.session_key))
        note(AccessEvent.Kind.SECOND_FACTOR_ON, person, request)
        return render(request, "people/recovery_codes.html", {"codes": codes})
    picture = qr_of_a_secret(key_address(person, key), _("QR code for the authenticator app"))
    is_asked_for = ASKED_FOR in request.session
    context = {"picture": picture, "key": readable(key), "is_asked_for": is_asked_for}
    return form_page(request, "people/set_up_second_factor.html", form=form, **context)


@never_cache
@require_http_methods(["GET", "POST"])
def new_recovery_codes(request: HttpRequest) -> HttpResponse:
    person = signed_in(request)
    if not has_second_factor(person):
        return redirect("own_second_factor")
    form = SecondFactorForm(person, sent_with(request))
    if request.method == "POST" and form.is_valid():
        codes = make_recovery_codes(person)
        return render(request, "people/recovery_codes.html", {"codes": codes})
    return form_page(request, "people/new_recovery_codes.html", form=form)


@never_cache
@require_http_methods(["GET", "POST"])
def drop_second_factor(request: HttpRequest) -> HttpResponse:
    person = signed_in(request)
    if not has_second_factor(person):
        return redirect("own_second_factor")
    form = SecondFactorForm(person, sent_with(request))
    if request.method == "POST" and form.is_valid():
        remove(person)
        note(AccessEvent.Kind.SECOND_FACTOR_OFF, person, request)
        messages.success(request, _("The second factor is removed."))
        return redirect("own_settings")
    return form_page(request, "people/drop_second_factor.html", form=form)


@require_POST
def lift_second_factor(request: HttpRequest, pk: int) -> HttpResponse:
    """For who lost phone and recovery codes: a coordinator knows them in person.

    One's own is removed with a code, as everybody's is: an open screen is not enough.
    """
    coordinator = coordinator_or_403(request)
    person = get_object_or_404(Person, pk=pk)
    if person == coordinator:
        return redirect("drop_second_factor")
    if remove(person):
        note(AccessEvent.Kind.SECOND_FACTOR_OFF, person, request)
        messages.success(
            request,
            _("%(person)s logs in with the password alone until they set it up again.")
            % {"person": person.full_name},
        )
    return redirect("person", pk=pk)
