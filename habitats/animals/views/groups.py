"""Groups: who lives together, what speaks against it, where they are and were."""

from collections.abc import Sequence
from typing import NamedTuple

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from habitats.animals.forms.groups import GroupForm, LetBeForm, PartForm
from habitats.animals.models import facts
from habitats.animals.models.acts import Act, ActPart
from habitats.animals.models.animals import Animal
from habitats.animals.models.companions import companions_of
from habitats.animals.models.groups import Group
from habitats.animals.models.joining import part
from habitats.animals.models.objections import group_objections, let_be
from habitats.animals.models.places import places_of_groups
from habitats.animals.models.stays import leave
from habitats.animals.pages.acts import act_rows, last_of, with_undo
from habitats.animals.pages.members import called, group_seen_by, members_of, structure_in
from habitats.animals.pages.objection_rows import ObjectionRow, objection_rows
from habitats.animals.pages.shared_dues import shared_dues
from habitats.animals.pages.words import age_words, sex_words
from habitats.common.happened import Elsewhere
from habitats.common.sent import UNPROCESSABLE, form_page, sent_with
from habitats.people.access import coordinator_or_403, member_or_403
from habitats.people.models.people import Person
from habitats.people.views.based_on import accepted, based_on, of_form, row_of
from habitats.rescue.models.rescue import Rescue
from habitats.rescue.models.standards import dues_of
from habitats.rescue.pages.compared import Reader, Seat, shown
from habitats.welfare.companion import Companion

GROUPS_A_PAGE, HISTORY_SHOWN = 30, 50
FOSTER = Person.Role.FOSTER


class Member(NamedTuple):
    """An animal of the group, loaded ``with_facts``."""

    animal: Animal
    age: str
    sex: str


@require_GET
def group(request: HttpRequest, code: str) -> HttpResponse:
    person = member_or_403(request, FOSTER)
    return _group_page(request, person, group_seen_by(person, code))


@require_http_methods(["GET", "POST"])
@based_on(row_of(Group), of_form(GroupForm))
def edit_group(request: HttpRequest, code: str) -> HttpResponse:
    person = coordinator_or_403(request)
    found = group_seen_by(person, code)
    form = GroupForm(sent_with(request), instance=found)
    if accepted(request, form):
        form.save()
        messages.success(request, _("Group saved."))
        return redirect("group", code=found.code)
    return form_page(request, "animals/edit_group.html", form=form, code=found.code)


@require_POST
def let_be_in(request: HttpRequest, code: str) -> HttpResponse:
    """Let objections of a group be, for a recorded reason."""
    person = coordinator_or_403(request)
    found, today = group_seen_by(person, code), timezone.localdate()
    companions = companions_of(members_of(found, today))
    form = LetBeForm(
        request.POST, objections=group_objections(found, companions, today, Rescue.ours())
    )
    if not form.is_valid():
        return _group_page(request, person, found, letting_be=form)
    given = form.cleaned_data
    let_be(found, form.objections, given["reason"], confirmed=given["confirmed"], by=person)
    messages.success(request, _("Override recorded with your reason."))
    return redirect("group", code=found.code)


@require_POST
@based_on(row_of(Group), facts.company_and_place)
def part_from(request: HttpRequest, code: str, animal: str) -> HttpResponse:
    """An animal leaves the group, and is in none."""
    person = coordinator_or_403(request)
    found = group_seen_by(person, code)
    living = found.memberships.open().values("animal")
    member = get_object_or_404(Animal, code=animal.upper(), pk__in=living)
    form = PartForm(request.POST, today=timezone.localdate())
    if accepted(request, form):
        try:
            part(member, form.cleaned_data["on"], by=person)
        except Elsewhere as reason:
            form.add_error("on", str(reason))
        else:
            words = _("%(animal)s is in no group now. Do not leave it alone.")
            messages.success(request, with_undo(words % {"animal": member}, person))
            return redirect("animal", code=member.code)
    return _group_page(request, person, found, parting=form, parted=member)


@require_POST
@based_on(row_of(Group), facts.company_and_place)
def leave_enclosure(request: HttpRequest, code: str) -> HttpResponse:
    """The group leaves where it stays, for nowhere that is known."""
    person = coordinator_or_403(request)
    found = group_seen_by(person, code)
    form = PartForm(request.POST, today=timezone.localdate())
    if accepted(request, form):
        try:
            leave(found, form.cleaned_data["on"], by=person)
        except Elsewhere as reason:
            form.add_error("on", str(reason))
        else:
            words = _("The group is in no enclosure now. Choose where it moves.")
            messages.success(request, with_undo(words, person))
            return redirect("group", code=found.code)
    return _group_page(request, person, found, leaving=form)


def _group_page(
    request: HttpRequest,
    person: Person,
    found: Group,
    *,
    letting_be: LetBeForm | None = None,
    parting: PartForm | None = None,
    parted: Animal | None = None,
    leaving: PartForm | None = None,
) -> HttpResponse:
    today, rescue = timezone.localdate(), Rescue.ours()
    animals = members_of(found, today)
    companions = companions_of(animals)
    objections = group_objections(found, companions, today, rescue)
    context = {
        "group": found,
        "called": called(found, [one.name for one in animals]),
        "today": today,
        "members": [Member(one, age_words(one, today), sex_words(one)) for one in animals],
        **_by_grade(objection_rows(objections, companions)),
        **_room(found, companions, Reader(today, rescue, person.units)),
        **_history(found),
        "letting_be": letting_be or LetBeForm(objections=objections),
        "refused_key": letting_be.data.get("keys") if letting_be else None,
        "parting": parting or PartForm(today=today),
        "parted": parted,
        "leaving": leaving or PartForm(today=today),
        "leaving_refused": leaving is not None,
    }
    refused = letting_be or parting or leaving
    return render(request, "animals/group.html", context, status=UNPROCESSABLE if refused else 200)


def _by_grade(rows: Sequence[ObjectionRow]) -> dict[str, object]:
    return {
        "blocks": [one for one in rows if one.is_block and not one.override],
        "warnings": [one for one in rows if not one.is_block and not one.override],
        "let_be": [one for one in rows if one.override],
    }


def _room(found: Group, companions: Sequence[Companion], reader: Reader) -> dict[str, object]:
    """Where they live, the floor there is for them, and the days on which that changes."""
    place = places_of_groups([found], reader.day)[found.pk]
    structure = structure_in(place)
    return {
        "place": place,
        "floor": shown([Seat(str(place.enclosure), structure, companions)], reader)[0],
        "dues": shared_dues(dues_of(companions, reader.day, reader.rescue, structure), companions),
    }


def _history(found: Group) -> dict[str, object]:
    """Who left and where they were, without what was undone."""
    past = found.memberships.filter(until__isnull=False).select_related("animal")
    past = past.exclude(pk__in=ActPart.undone_spans("membership"))
    stays = found.stays.select_related("enclosure", "made_by").newest_first()
    stays = stays.exclude(pk__in=ActPart.undone_spans("stay"))
    return {
        "past": past.newest_first()[:HISTORY_SHOWN],
        "stays": stays[:HISTORY_SHOWN],
        "acts": act_rows(last_of(Act.objects.of_groups([found]))),
    }
