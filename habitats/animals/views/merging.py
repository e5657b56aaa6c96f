"""Two records of one animal are made one."""

from django.http import HttpRequest, HttpResponse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from habitats.animals.models.animals import NEVER_CAME, Animal
from habitats.animals.models.merging import contrary, merge
from habitats.animals.pages.rows import animal_seen_by
from habitats.common.merge_pages import MOST_OFFERED, Merging, merging_page
from habitats.people.access import coordinator_or_403


@require_http_methods(["GET", "POST"])
def merge_animal(request: HttpRequest, code: str) -> HttpResponse:
    person = coordinator_or_403(request)
    kept = animal_seen_by(person, code)
    others = Animal.objects.exclude(pk=kept.pk).exclude(left_why__in=NEVER_CAME)
    words = request.GET.get("words", "").strip() or kept.name
    page = Merging(
        kept=kept,
        double=others.filter(code=request.GET.get("other", "").upper()).first(),
        offered=others.filter(species=kept.species).named_like(words).by_name()[:MOST_OFFERED],
        contrary=contrary,
        merge=lambda one, other, chosen: merge(one, other, chosen, by=person),
        page="animal",
        merge_page="merge_animal",
        key=lambda row: row.code,
        moved=_("Weights, stays, entries, litters and young of both are kept in one record."),
    )
    return merging_page(request, page)
