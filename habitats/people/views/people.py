"""The people of the rescue: who may log in, and as what."""

from collections.abc import Mapping
from functools import partial

from django.contrib import messages
from django.db.models import Q
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils.translation import get_language
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from habitats.common.merge_pages import MOST_OFFERED, Merging, merging_page
from habitats.common.public_address import public_address
from habitats.common.sent import form_page, sent_with
from habitats.people.access import coordinator_or_403
from habitats.people.forms.people import NewPasswordForm, NewPersonForm, PersonForm
from habitats.people.models import facts
from habitats.people.models.access_events import AccessEvent, note
from habitats.people.models.devices import devices_of
from habitats.people.models.ending import end_all
from habitats.people.models.first_passwords import (
    AT_ONCE,
    make_first_passwords,
    set_first_password,
    waiting_for_one,
)
from habitats.people.models.log_in_locks import locks_of, minutes_until, unlock
from habitats.people.models.merging import cautions, contrary, merge
from habitats.people.models.password_links import mail_goes_out
from habitats.people.models.people import Person
from habitats.people.models.second_factor import has_second_factor, who_have_one
from habitats.people.views.based_on import accepted, based_on, of_form, row_of


@require_GET
def people(request: HttpRequest) -> HttpResponse:
    coordinator_or_403(request)
    known = Person.objects.filter(same_as__isnull=True, erased_on__isnull=True)
    everybody = list(known.order_by("-is_active", "first_name", "username", "pk"))
    locked = locks_of([one.username for one in everybody])
    without = sum(one.is_active and not one.has_usable_password() for one in everybody)
    unused = sum(one.is_active and one.is_on_slip and one.last_login is None for one in everybody)
    context = {
        "people": everybody,
        "locked": set(locked),
        "with_second_factor": who_have_one(),
        "without_password": without,
        "unused_passwords": unused,
        "at_once": AT_ONCE,
    }
    return render(request, "people/people.html", context)


@require_POST
@never_cache
def first_passwords(request: HttpRequest) -> HttpResponse:
    """Slips to print and hand out. Passwords are shown here and never again."""
    coordinator_or_403(request)
    made = make_first_passwords()
    if not made:
        messages.info(request, _("All people who may log in have a password."))
        return redirect("people")
    context = {
        "slips": [(one, _language_of(one.person)) for one in made],
        "address": public_address(request, reverse("login")),
        "left": waiting_for_one().filter(is_on_slip=False).count(),
    }
    return render(request, "people/first_passwords.html", context)


def _language_of(person: Person) -> str:
    return person.language or get_language() or ""


@require_http_methods(["GET", "POST"])
def new_person(request: HttpRequest) -> HttpResponse:
    coordinator = coordinator_or_403(request)
    form = NewPersonForm(sent_with(request), asked_by=coordinator)
    if request.method == "POST" and form.is_valid():
        person = form.save()
        note(AccessEvent.Kind.ADDED, person, request)
        if not person.has_usable_password():
            messages.success(
                request,
                _("%(person)s is added. Make a link to choose a password.")
                % {"person": person.full_name},
            )
            return redirect("person", pk=person.pk)
        messages.success(request, _("%(person)s can log in now.") % {"person": person.full_name})
        return redirect("people")
    return form_page(request, "people/new_person.html", form=form)


@require_http_methods(["GET", "POST"])
@based_on(row_of(Person, "pk"), of_form(PersonForm))
def person(request: HttpRequest, pk: int) -> HttpResponse:
    coordinator = coordinator_or_403(request)
    person = get_object_or_404(Person, pk=pk)
    if person.same_as_id:
        return redirect("person", pk=person.same_as_id)
    if person.erased_on:
        return redirect("people")
    # The form writes into the person, also what it then refuses.
    name, log_in_name = person.full_name, person.username
    before = (person.roles, person.is_active)
    form = PersonForm(sent_with(request), instance=person, asked_by=coordinator)
    if accepted(request, form):
        _note_changes(request, form.save(), *before)
        messages.success(request, _("Changes to %(person)s saved.") % {"person": person.full_name})
        return redirect("people")
    ends = locks_of([log_in_name]).get(log_in_name)
    context = {
        "name": name,
        "pk": pk,
        "minutes": minutes_until(ends) if ends else None,
        "devices": len(devices_of(person)),
        "has_second_factor": has_second_factor(person),
        "can_mail": mail_goes_out() and bool(person.email),
        "lacks_home": _lacks_home(person),
    }
    return form_page(request, "people/person.html", form=form, **context)


def _lacks_home(person: Person) -> bool:
    """A foster who sees no animals yet, since no home is looked after by them."""
    is_foster = person.is_active and person.has_role(Person.Role.FOSTER)
    return is_foster and not person.homes.exists()


def _note_changes(request: HttpRequest, person: Person, roles: str, was_active: bool) -> None:
    kinds = AccessEvent.Kind
    if person.roles != roles:
        note(kinds.ROLE_CHANGED, person, request)
    if person.is_active != was_active:
        note(kinds.ACTIVATED if person.is_active else kinds.DEACTIVATED, person, request)
    if not person.is_active:
        end_all(person)


@require_POST
def unlock_person(request: HttpRequest, pk: int) -> HttpResponse:
    """Nobody has to wait for a coordinator who knows that it was only a slip."""
    coordinator_or_403(request)
    person = get_object_or_404(Person, pk=pk)
    unlock(person.username)
    note(AccessEvent.Kind.UNLOCKED, person, request)
    messages.success(
        request, _("%(person)s can try to log in again.") % {"person": person.full_name}
    )
    return redirect("person", pk=pk)


@require_http_methods(["GET", "POST"])
@based_on(row_of(Person, "pk"), facts.password)
def new_password(request: HttpRequest, pk: int) -> HttpResponse:
    """For somebody else; who changes their own types the present one first."""
    coordinator = coordinator_or_403(request)
    person = get_object_or_404(Person, pk=pk, erased_on__isnull=True)
    if person == coordinator:
        return redirect("own_password")
    form = NewPasswordForm(person, sent_with(request))
    if accepted(request, form):
        set_first_password(person, form.cleaned_data["password"])
        person.save(update_fields=["password", "first_password_at", "is_on_slip"])
        unlock(person.username)
        end_all(person)
        note(AccessEvent.Kind.PASSWORD_SET, person, request)
        messages.success(
            request,
            _("%(person)s has a new password and is logged out on all devices.")
            % {"person": person.full_name},
        )
        return redirect("people")
    return form_page(request, "people/new_password.html", form=form, name=person.full_name, pk=pk)


def _merge(
    request: HttpRequest,
    coordinator: Person,
    kept: Person,
    double: Person,
    chosen: Mapping[str, str],
) -> None:
    before, could_log_in = (kept.roles, kept.is_active), double.is_active
    merge(kept, double, chosen, by=coordinator)
    _note_changes(request, kept, *before)
    if could_log_in:
        note(AccessEvent.Kind.DEACTIVATED, double, request)


@require_http_methods(["GET", "POST"])
def merge_person(request: HttpRequest, pk: int) -> HttpResponse:
    """Two accounts of one person are made one."""
    coordinator = coordinator_or_403(request)
    known = Person.objects.filter(same_as__isnull=True, erased_on__isnull=True)
    kept = get_object_or_404(known, pk=pk)
    others = known.exclude(pk=kept.pk)
    words = request.GET.get("words", "").strip() or kept.first_name or kept.username
    named = Q(first_name__icontains=words) | Q(last_name__icontains=words)
    offered = others.filter(named | Q(username__icontains=words)).order_by("first_name", "pk")
    asked = request.GET.get("other", "")
    page = Merging(
        kept=kept,
        double=others.filter(pk=int(asked)).first() if asked.isdecimal() else None,
        offered=offered[:MOST_OFFERED],
        contrary=lambda one, other: contrary(one, other, coordinator),
        merge=partial(_merge, request, coordinator),
        page="person",
        merge_page="merge_person",
        key=lambda row: row.pk,
        moved=_("What both recorded then belongs to one person. The other log-in stops working."),
        cautions=cautions,
    )
    return merging_page(request, page)
