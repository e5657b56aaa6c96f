"""The page of one enclosure, and what is done on it."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse, QueryDict
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from habitats.animals.models.acts import Act, recording
from habitats.animals.pages.acts import with_undo
from habitats.animals.views.at_the_door import at_the_door
from habitats.common.happened import Elsewhere
from habitats.common.sent import UNPROCESSABLE, form_page, sent_with
from habitats.enclosures.forms import MoveEnclosureForm, StateForm
from habitats.enclosures.models import facts
from habitats.enclosures.models.enclosures import Enclosure
from habitats.enclosures.views import BUILDER, FOSTER, enclosure_seen_by
from habitats.homes.models.homes import Home
from habitats.people.access import coordinator_or_403, member_or_403
from habitats.people.models.people import Person
from habitats.people.views.based_on import accepted, based_on, row_of
from habitats.residence.pages.enclosure_page import EnclosurePage
from habitats.wording import listed


@require_GET
def enclosure(request: HttpRequest, code: str) -> HttpResponse:
    person = member_or_403(request, BUILDER, FOSTER)
    return _enclosure_page(request, person, enclosure_seen_by(person, code))


@require_POST
@based_on(row_of(Enclosure), facts.use_of)
def set_enclosure_state(request: HttpRequest, code: str) -> HttpResponse:
    person = member_or_403(request, BUILDER)
    found = enclosure_seen_by(person, code)
    form = _state_form(request.POST, found, person)
    if accepted(request, form):
        try:
            form.set_state(by=person)
        except Elsewhere as reason:
            form.add_error("state", str(reason))
        else:
            messages.success(request, _("State saved."))
            return redirect("enclosure", code=found.code)
    return _enclosure_page(request, person, found, state=form)


@require_http_methods(["GET", "POST"])
@based_on(row_of(Enclosure), facts.where_it_stands)
def move_enclosure(request: HttpRequest, code: str) -> HttpResponse:
    person = coordinator_or_403(request)
    found = enclosure_seen_by(person, code)
    form = MoveEnclosureForm(
        sent_with(request), enclosure=found, today=timezone.localdate(), units=person.units
    )
    if accepted(request, form):
        try:
            day = form.cleaned_data["day"]
            with at_the_door(request), recording(Act.Kind.STAND, day, by=person):
                form.move(by=person)
        except Elsewhere as reason:
            form.add_error("day", str(reason))
        else:
            words = _where_it_stands(form.cleaned_data["home"])
            messages.success(request, with_undo(words, person))
            return redirect("enclosure", code=found.code)
    page = EnclosurePage(found, person, timezone.localdate())
    names = [one.name for one in page.living.animals]
    return form_page(
        request,
        "residence/move_enclosure.html",
        form=form,
        enclosure=found,
        back=reverse("enclosure", args=[found.code]),
        home=page.home,
        who=listed(names),
        number=len(names),
    )


def _where_it_stands(home: Home | None) -> str:
    if home is None:
        return _("It stands in no home now.")
    return _("It stands in %(home)s now.") % {"home": home}


def _enclosure_page(
    request: HttpRequest, person: Person, found: Enclosure, *, state: StateForm | None = None
) -> HttpResponse:
    context = {
        "page": EnclosurePage(found, person, timezone.localdate()),
        "enclosure": found,
        "state_form": state or _state_form(None, found, person),
    }
    status = UNPROCESSABLE if state else 200
    return render(request, "residence/enclosure.html", context, status=status)


def _state_form(sent: QueryDict | None, found: Enclosure, person: Person) -> StateForm:
    return StateForm(
        sent,
        enclosure=found,
        person=person,
        today=timezone.localdate(),
        initial={"state": vars(found)["state"]},
    )
