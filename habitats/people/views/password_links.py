"""Links for choosing a password: made by a coordinator, asked for at the log-in, opened once."""

import logging
from smtplib import SMTPException
from typing import Any

from django.contrib import messages
from django.contrib.auth.decorators import login_not_required
from django.contrib.auth.forms import SetPasswordForm
from django.contrib.auth.views import PasswordResetConfirmView
from django.core.exceptions import ValidationError
from django.db.models import Q
from django.forms import BaseForm
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse, reverse_lazy
from django.utils.decorators import method_decorator
from django.utils.translation import get_language
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods, require_POST

from habitats.common.public_address import public_address
from habitats.common.qr import qr_of_a_secret
from habitats.common.sent import UNPROCESSABLE, form_page, sent_with
from habitats.people.access import coordinator_or_403
from habitats.people.forms.accounts import ChosenPasswordForm, ForgottenForm
from habitats.people.models.access_events import AccessEvent, note
from habitats.people.models.ending import end_all
from habitats.people.models.log_in_locks import unlock
from habitats.people.models.password_links import (
    link_ends,
    link_path,
    mail_goes_out,
    mail_link,
    may_be_mailed,
)
from habitats.people.models.people import Person

logger = logging.getLogger(__name__)


@require_POST
@never_cache
def password_link(request: HttpRequest, pk: int) -> HttpResponse:
    """Show a link to pass on, as text and for a camera, or mail it; none for oneself."""
    coordinator = coordinator_or_403(request)
    person = get_object_or_404(Person, pk=pk, is_active=True, same_as__isnull=True)
    if person == coordinator:
        return redirect("own_password")
    address = public_address(request, link_path(person))
    if "mail" in request.POST and mail_goes_out() and person.email:
        _mail(request, person, address)
        return redirect("person", pk=pk)
    note(AccessEvent.Kind.LINK_MADE, person, request)
    context = {
        "person": person,
        "address": address,
        "picture": qr_of_a_secret(address, _("QR code of the link")),
        "ends": link_ends(),
    }
    return render(request, "people/password_link.html", context)


def _mail(request: HttpRequest, person: Person, address: str) -> None:
    try:
        is_sent = mail_link(person, address, get_language() or "")
    except (OSError, SMTPException):
        logger.exception("The mail to a person could not be sent.")
        messages.error(request, _("The mail could not be sent. Make a link and pass it on."))
        return
    if not is_sent:
        messages.warning(request, _("A link was mailed a moment ago. Wait ten minutes."))
        return
    note(AccessEvent.Kind.LINK_MAILED, person, request)
    messages.success(request, _("Link mailed to %(email)s.") % {"email": person.email})


@login_not_required
@never_cache
@require_http_methods(["GET", "POST"])
def forgotten(request: HttpRequest) -> HttpResponse:
    """Ask for a link by mail. The answer tells nobody who has an account."""
    if not mail_goes_out():
        return render(request, "people/forgotten_sent.html", {"sends_none": True})
    form = ForgottenForm(sent_with(request))
    if request.method == "POST" and form.is_valid():
        name = form.cleaned_data["name"]
        found = may_be_mailed().filter(Q(username__iexact=name) | Q(email__iexact=name))
        for person in found[:5]:
            _mail_unasked(request, person)
        return render(request, "people/forgotten_sent.html")
    return form_page(request, "people/forgotten.html", form=form)


def _mail_unasked(request: HttpRequest, person: Person) -> None:
    address = public_address(request, link_path(person))
    try:
        if mail_link(person, address, get_language() or ""):
            note(AccessEvent.Kind.LINK_MAILED, person, request)
    except (OSError, SMTPException):
        logger.exception("The mail to a person could not be sent.")


@method_decorator([login_not_required, never_cache], name="dispatch")
class ChoosePassword(PasswordResetConfirmView):
    """What a link opens. The log-in that follows asks for the second factor, where there is one."""

    template_name = "people/choose_password.html"
    form_class = ChosenPasswordForm
    success_url = reverse_lazy("login")

    def get_user(self, uidb64: str) -> Person | None:
        try:
            person = super().get_user(uidb64)
        except ValidationError:
            return None
        may = isinstance(person, Person) and person.is_active and person.same_as_id is None
        return person if may else None

    def form_valid(self, form: SetPasswordForm) -> HttpResponse:
        answer = super().form_valid(form)
        person = form.user
        unlock(person.username)
        end_all(person)
        note(AccessEvent.Kind.PASSWORD_SET, person, self.request)
        messages.success(self.request, _("Password saved. Log in with it now."))
        return answer

    def form_invalid(self, form: BaseForm) -> HttpResponse:
        return self.render_to_response(self.get_context_data(form=form), status=UNPROCESSABLE)

    def get_context_data(self, **context: Any) -> dict[str, Any]:
        return super().get_context_data(**context) | {"log_in": reverse("login")}
