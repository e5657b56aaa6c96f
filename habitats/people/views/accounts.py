"""Logging in and out, and each person's own settings."""

from typing import Any

from django.contrib import messages
from django.contrib.auth import update_session_auth_hash, views
from django.contrib.auth.decorators import login_not_required
from django.contrib.auth.forms import AuthenticationForm
from django.forms import BaseForm
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.decorators import method_decorator
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from habitats.common.client_address import client_address
from habitats.common.sent import UNPROCESSABLE, form_page, sent_with
from habitats.people.access import signed_in
from habitats.people.forms.accounts import LogInForm, OwnPasswordForm, OwnSettingsForm
from habitats.people.models.access_events import AccessEvent, note
from habitats.people.models.devices import take_over
from habitats.people.models.ending import end_all
from habitats.people.models.log_in_locks import locks_of, minutes_until
from habitats.people.models.password_links import mail_goes_out
from habitats.people.models.people import Person
from habitats.people.models.second_factor import has_second_factor
from habitats.people.views.second_factor import ask_for_code

TOO_MANY = 429


class LogIn(views.LoginView):
    template_name = "people/log_in.html"
    authentication_form = LogInForm
    redirect_authenticated_user = True

    def form_valid(self, form: AuthenticationForm) -> HttpResponse:
        person = form.get_user()
        if isinstance(person, Person) and has_second_factor(person):
            return ask_for_code(self.request, person, self.get_success_url())
        return super().form_valid(form)

    def get_context_data(self, **context: Any) -> dict[str, Any]:
        return super().get_context_data(**context) | {"mail_goes_out": mail_goes_out()}

    def form_invalid(self, form: BaseForm) -> HttpResponse:
        return self.render_to_response(self.get_context_data(form=form), status=UNPROCESSABLE)


def locked_out(
    request: HttpRequest, _refused: HttpResponse, credentials: dict[str, str] | None
) -> HttpResponse:
    """What django-axes answers after too many wrong passwords: for how long, and who can help."""
    name = (credentials or {}).get("username") or ""
    ends = locks_of([name], client_address(request)).get(name)
    minutes = minutes_until(ends) if ends else 1
    return render(request, "people/locked.html", {"minutes": minutes}, status=TOO_MANY)


# Public, so that logging out twice, in two windows, ends at the log-in page and not at a fault.
@method_decorator(login_not_required, name="dispatch")
class LogOut(views.LogoutView):
    http_method_names = ["post", "options"]


@require_http_methods(["GET", "POST"])
def own_settings(request: HttpRequest) -> HttpResponse:
    person = signed_in(request)
    form = OwnSettingsForm(sent_with(request), instance=person)
    if request.method == "POST" and form.is_valid():
        form.save()
        messages.success(request, _("Settings saved."))
        return redirect("own_settings")
    return form_page(request, "people/own_settings.html", form=form)


@require_http_methods(["GET", "POST"])
def own_password(request: HttpRequest) -> HttpResponse:
    person = signed_in(request)
    form = OwnPasswordForm(person, sent_with(request))
    if request.method == "POST" and form.is_valid():
        old_key = request.session.session_key
        was_given = person.has_first_password
        update_session_auth_hash(request, form.save())
        take_over(request, old_key)
        ended = end_all(person, but=request.session.session_key)
        note(AccessEvent.Kind.PASSWORD_SET, person, request)
        messages.success(request, _("New password saved."))
        if ended.calendar:
            messages.warning(request, _("Your calendar address no longer works. Create a new one."))
        return redirect("home" if was_given else "own_settings")
    return form_page(request, "people/own_password.html", form=form)
