"""The buying list: needs of planned builds that the store does not have."""

from collections.abc import Iterator
from dataclasses import dataclass

from django.http import HttpRequest, HttpResponse, StreamingHttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_GET

from builds.plans.models.builds import Build
from builds.pulls.models.buying import needs_of_builds, needs_of_planned_builds, planned_builds
from builds.store.models.buying import Buying, what_to_buy
from builds.store.models.suppliers import Supplier
from habitats.csv_cells import csv_lines
from habitats.people.access import coordinator_or_403

LONGEST_CODE = 12  # of what an address names, so that a sentence about it stays short


@dataclass(frozen=True, slots=True)
class AskedBuilds:
    """What the address asks for: the builds that it names, and the list for them.

    ``builds`` are all that may be chosen, ``chosen`` the codes of those that are; ``unknown`` are
    codes of builds that need nothing any more, or never were. Where neither is, all are chosen.
    """

    builds: list[Build]
    chosen: frozenset[str]
    unknown: list[str]
    tops_up: bool

    @property
    def is_chosen(self) -> bool:
        return bool(self.chosen or self.unknown)

    def buying(self) -> Buying:
        if not self.is_chosen:
            return what_to_buy(needs_of_planned_builds(), top_up=self.tops_up)
        chosen = [one for one in self.builds if one.code in self.chosen]
        return what_to_buy(needs_of_builds(chosen), top_up=False)


@require_GET
def buying(request: HttpRequest) -> HttpResponse:
    """What planned builds, or some of them, need and the store does not have."""
    coordinator_or_403(request)
    asked = _asked(request)
    context = {
        "asked": asked,
        "buying": asked.buying(),
        "tops_up": asked.tops_up,
        "today": timezone.localdate(),
        "has_suppliers": Supplier.objects.live().exists(),
    }
    return render(request, "pulls/buying.html", context)


@require_GET
def buying_csv(request: HttpRequest) -> StreamingHttpResponse:
    coordinator_or_403(request)
    name = f"buying-{timezone.localdate().isoformat()}.csv"
    return StreamingHttpResponse(
        csv_lines(_csv_rows(_asked(request).buying())),
        content_type="text/csv; charset=utf-8",
        headers={"Content-Disposition": f'attachment; filename="{name}"'},
    )


def _asked(request: HttpRequest) -> AskedBuilds:
    """Up to reorder levels, unless only what builds need was asked for."""
    builds = list(planned_builds())
    codes = {one.code for one in builds}
    named = [one.upper()[:LONGEST_CODE] for one in request.GET.getlist("build") if one]
    chosen = frozenset(codes.intersection(named))
    unknown = [one for one in dict.fromkeys(named) if one not in codes]
    tops_up = not named and request.GET.get("only") != "builds"
    return AskedBuilds(builds, chosen, unknown, tops_up)


def _csv_rows(buying: Buying) -> Iterator[tuple[object, ...]]:
    yield (
        "supplier",
        "item",
        "order number",
        "packs",
        "pack of",
        "unit",
        "price of a pack",
        "price",
    )
    for order in buying.orders:
        for line in order.lines:
            offer = line.offer
            yield (
                order.supplier.name,
                offer.item.name,
                offer.number,
                line.packs,
                offer.count,
                offer.item.unit,
                offer.price,
                line.price,
            )
    for sheet in buying.sheets:
        yield ("", str(sheet.kind), "", sheet.count, 1, "", sheet.kind.cost, sheet.price)
    for row in (*buying.unsold, *buying.too_few):
        yield ("", row.item.name, "", "", row.unfilled, row.item.unit, "", "")
