"""Animals come together: a new group is made, or one joins a group that is there."""

from collections.abc import Sequence
from datetime import date
from functools import partial
from urllib.parse import urlencode

from django.contrib import messages
from django.db import transaction
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.html import format_html
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from habitats.animals.forms.groups import (
    MOST_CHOSEN,
    CompanyForm,
    NewGroupForm,
    chosen_animals,
    found_enclosure,
)
from habitats.animals.models import facts
from habitats.animals.models.animals import Animal, AnimalQuerySet
from habitats.animals.models.bonding import pair_records
from habitats.animals.models.came_together import parted_newcomers
from habitats.animals.models.climbing import ClimbingBan
from habitats.animals.models.companions import companions_of, with_facts
from habitats.animals.models.groups import Group
from habitats.animals.models.joining import begin_with, join
from habitats.animals.models.objections import Brought, brought_by, let_be
from habitats.animals.models.places import places_of_groups
from habitats.animals.pages.groups_to_make import groups_to_make_today, others_of_intake
from habitats.animals.pages.members import called, group_seen_by, members_of, structure_in
from habitats.animals.pages.objection_rows import brought_rows
from habitats.animals.pages.rows import AnimalRow, rows_of
from habitats.animals.views.at_the_door import at_the_door
from habitats.common.happened import Elsewhere
from habitats.common.name_order import InNameOrder
from habitats.common.sent import form_page, sent_with
from habitats.faults.models.faults import unsafe_fault_of
from habitats.homes.forms.home_field import A_CODE
from habitats.people.access import coordinator_or_403
from habitats.people.models.people import Person
from habitats.people.views.based_on import accepted, based_on
from habitats.rescue.models.rescue import Rescue
from habitats.rescue.pages.compared import Reader, Seat, shown
from habitats.structure.structure import Structure
from habitats.wording import by_number, listed

# So many are offered; the others are found by name.
MOST_OFFERED = 20


def _chosen(request: HttpRequest) -> tuple[Animal, ...]:
    """The animals that the address or the form names."""
    asked = (request.POST or request.GET).getlist("animal")[:MOST_CHOSEN]
    return tuple(chosen_animals(asked))


def _joining(request: HttpRequest, code: str) -> tuple[Group, tuple[Animal, ...]]:
    return get_object_or_404(Group, code=code.upper()), _chosen(request)


@require_http_methods(["GET", "POST"])
@based_on(_chosen, facts.groups_of)
def new_group(request: HttpRequest) -> HttpResponse:
    """A group of the animals chosen, with the reasons against it said first."""
    person = coordinator_or_403(request)
    today = timezone.localdate()
    given = request.POST or request.GET
    asked, into = given.getlist("animal")[:MOST_CHOSEN], given.get("into", "")
    likely = [] if asked or _words(request) else groups_to_make_today(today)
    if len(likely) == 1 and not given:  # who else could be meant
        asked = [one.code for one in likely[0].animals]
    animals = sorted(with_facts(chosen_animals(asked), today), key=lambda one: by_number(one.name))
    form = NewGroupForm(sent_with(request), judge=partial(_brought, None, animals), today=today)
    if request.method == "POST" and not animals:
        form.add_error(None, _("No animal is chosen. Search for one below, and choose it."))
    elif accepted(request, form):
        made = _begun(form, animals, person)
        if made:
            _tell_of_others(request, others_of_intake(animals, today))
            return _made(request, made, into)
    others = Animal.objects.exclude(pk__in=[one.pk for one in animals])
    context = {
        "form": form,
        "brought": brought_rows(form.brought, companions_of(animals)),
        "pairs": pair_records(animals),
        "chosen": rows_of(animals, today),
        "groups_to_make": [] if animals else likely,
        "words": _words(request),
        "offered": _offered(request, others, today),
        "into": into if A_CODE.fullmatch(into) else "",
        "parted": parted_newcomers(animals, form.brought.asks, today),
    }
    return form_page(request, "animals/new_group.html", **context)


def _tell_of_others(request: HttpRequest, others: Sequence[Animal]) -> None:
    """The next group of a large intake is one tap away."""
    if not others:
        return
    codes = urlencode({"animal": [one.code for one in others]}, doseq=True)
    names = listed(sorted((one.name for one in others), key=by_number))
    words = _("Came with them, and still in no group: %(animals)s.") % {"animals": names}
    address = f"{reverse('taken_in')}?{codes}"
    link = format_html('{} <a class="target" href="{}">{}</a>', words, address, _("Make group"))
    messages.info(request, link)


def _made(request: HttpRequest, made: Group, into: str) -> HttpResponse:
    """On to its enclosure: the one that was chosen before, or the choice of one."""
    chosen = found_enclosure(into)
    if chosen:
        messages.success(request, _("Group made. Check the move next."))
        return redirect(f"{reverse('move_group', args=[made.code])}?enclosure={chosen.code}")
    messages.success(request, _("Group made. Choose its enclosure next."))
    return redirect("move_group", code=made.code)


@require_http_methods(["GET", "POST"])
@based_on(_joining, facts.joining)
def admit(request: HttpRequest, code: str) -> HttpResponse:
    """Choose an animal to join the group, see what that brings, and write it down."""
    person = coordinator_or_403(request)
    group, today = group_seen_by(person, code), timezone.localdate()
    members = members_of(group, today)
    asked = (request.POST or request.GET).get("animal", "")
    if not asked:
        return _choosing(request, group, members, today)
    animals = list(with_facts(chosen_animals([asked]), today))
    if not animals:
        raise Http404(_("No animal in our care has this code."))
    animal, after = animals[0], [*members, animals[0]]
    if animal in members:
        messages.info(request, _("%(animal)s lives in this group.") % {"animal": animal})
        return redirect("group", code=group.code)
    form = CompanyForm(sent_with(request), judge=partial(_brought, group, [animal]), today=today)
    if accepted(request, form) and _joined(request, form, group, animal):
        messages.success(request, _("%(animal)s lives in this group now.") % {"animal": animal})
        return redirect("group", code=group.code)
    context = {
        "form": form,
        "group": group,
        "called": called(group, [one.name for one in members]),
        "animal": animal,
        "brought": brought_rows(form.brought, companions_of(after)),
        "pairs": [one for one in pair_records(after) if animal.pk in one.last.pair],
        **_room_for(group, members, animal, Reader(today, Rescue.ours(), person.units)),
        "parted": parted_newcomers(after, form.brought.asks, today),
    }
    return form_page(request, "animals/admit.html", **context)


def _room_for(
    group: Group, members: Sequence[Animal], animal: Animal, reader: Reader
) -> dict[str, object]:
    """The enclosure they live in, as it is for those who do and with the animal beside them."""
    place = places_of_groups([group], reader.day)[group.pk]
    structure = structure_in(place)
    after = companions_of([*members, animal])
    seats = [
        Seat(_("Now"), structure, companions_of(members)),
        Seat(_("With %(animal)s") % {"animal": animal}, structure, after),
    ]
    return {
        "floors": shown(seats, reader),
        "enclosure": place.enclosure,
        "unsafe": unsafe_fault_of(place.enclosure) if place.enclosure else None,
        "climbing": _on_a_ramp(animal, structure, reader.day),
    }


def _on_a_ramp(animal: Animal, structure: Structure | None, today: date) -> str:
    """Of one that must not climb, where they live with a ramp."""
    if structure is None or not structure.ramps:
        return ""
    ban = ClimbingBan.objects.on(today).filter(animal=animal).select_related("animal").first()
    return ban.ramp_caution if ban else ""


def _brought(group: Group | None, newcomers: Sequence[Animal], day: date) -> Brought:
    """What newcomers bring to the group as it was on that day; None: to each other."""
    before = members_of(group, day) if group else []
    keys = [one.pk for one in newcomers]
    coming = with_facts(Animal.objects.filter(pk__in=keys).by_name(), day)
    after = companions_of([*(one for one in before if one.pk not in keys), *coming])
    return brought_by(companions_of(before), after, day, Rescue.ours())


def _begun(form: NewGroupForm, animals: Sequence[Animal], by: Person) -> Group | None:
    """The group; None if it cannot be, and then the form says why."""
    given = form.cleaned_data
    try:
        with transaction.atomic():
            made = begin_with(
                animals,
                animals[0].species,
                given["since"],
                by=by,
                name=given["name"],
                idempotency_key=given["once"],
            )
            _keep_reason(form, made, by)
    except Elsewhere as reason:
        form.add_error("since", str(reason))
        return None
    return made


def _joined(request: HttpRequest, form: CompanyForm, group: Group, animal: Animal) -> bool:
    by = coordinator_or_403(request)
    try:
        with at_the_door(request):
            join(
                group,
                animal,
                form.cleaned_data["since"],
                by=by,
                idempotency_key=form.cleaned_data["once"],
            )
            _keep_reason(form, group, by)
    except Elsewhere as reason:
        form.add_error("since", str(reason))
        return False
    return True


def _keep_reason(form: CompanyForm, group: Group, by: Person) -> None:
    given = form.cleaned_data
    let_be(group, form.brought.asks, given["reason"], confirmed=given["confirmed"], by=by)


def _choosing(
    request: HttpRequest, group: Group, members: Sequence[Animal], today: date
) -> HttpResponse:
    others = Animal.objects.filter(species=group.species).exclude(
        pk__in=[one.pk for one in members]
    )
    context = {
        "group": group,
        "called": called(group, [one.name for one in members]),
        "words": _words(request),
        "offered": _offered(request, others, today),
    }
    return render(request, "animals/choose.html", context)


def _words(request: HttpRequest) -> str:
    return request.GET.get("words", "").strip()[:60]


def _offered(request: HttpRequest, animals: AnimalQuerySet, today: date) -> list[AnimalRow]:
    """Those that fit the words; without any, those that live in no group."""
    words = _words(request)
    found = animals.here().named_like(words) if words else animals.here().without_group(today)
    return rows_of(InNameOrder(found.with_weight())[:MOST_OFFERED], today)
