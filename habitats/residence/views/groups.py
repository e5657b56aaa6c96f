"""Groups in a list."""

from collections.abc import Sequence
from datetime import date
from typing import NamedTuple

from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_GET

from habitats.animals.forms.groups import FindGroupsForm, found_enclosure
from habitats.animals.models.groups import Group, Membership
from habitats.animals.models.places import NOWHERE, AnimalPlace, places_of_groups
from habitats.animals.pages.members import called
from habitats.animals.views.groups import GROUPS_A_PAGE
from habitats.people.access import coordinator_or_403
from habitats.readings.models.readings import Reading
from habitats.readings.pages import space_result
from habitats.rescue.pages.verdicts import SpaceResult
from habitats.wording import by_number


class GroupRow(NamedTuple):
    group: Group
    called: str
    animals: int
    place: AnimalPlace
    result: SpaceResult | None


@require_GET
def groups(request: HttpRequest) -> HttpResponse:
    """All groups; with ``into``, an enclosure's code, each leads to its move into that one."""
    person = coordinator_or_403(request)
    today = timezone.localdate()
    form = FindGroupsForm(request.GET)
    found = form.found(Group.objects.live()).latest_first()
    page = Paginator(found, GROUPS_A_PAGE).get_page(request.GET.get("page"))
    into = found_enclosure(request.GET.get("into", ""))
    context = {
        "form": form,
        "into": into,
        "page": page,
        "rows": _rows(list(page.object_list), today, person.units),
        "any": Group.objects.live().exists(),
    }
    return render(request, "residence/groups.html", context)


def _rows(found: Sequence[Group], today: date, units: str) -> list[GroupRow]:
    """The groups with their animals, place and space, with the same few queries for all."""
    places = places_of_groups(found, today)
    names: dict[int, list[str]] = {}
    living = Membership.objects.on(today).filter(group__in=found)
    for key, name in living.values_list("group", "animal__name"):
        names.setdefault(key, []).append(name)
    enclosures = [place.enclosure.pk for place in places.values() if place.enclosure]
    fresh = Reading.objects.fresh(today, pk__in=enclosures).filter(enclosure__in=enclosures)
    results = {one.group_id: space_result(one, units) for one in fresh}
    return [
        GroupRow(
            one,
            called(one, sorted(names.get(one.pk, []), key=by_number)),
            len(names.get(one.pk, [])),
            places.get(one.pk, NOWHERE),
            results.get(one.pk),
        )
        for one in found
    ]
