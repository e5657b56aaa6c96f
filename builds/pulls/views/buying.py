"""The buying list: needs of planned builds that the store does not have."""

from collections.abc import Iterator

from django.http import HttpRequest, HttpResponse, StreamingHttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_GET

from builds.pulls.models.buying import Buying, needs_of_planned_builds, what_to_buy
from builds.store.models.suppliers import Supplier
from habitats.csv_cells import csv_lines
from habitats.people.access import coordinator_or_403


@require_GET
def buying(request: HttpRequest) -> HttpResponse:
    """What planned builds need and the store does not have, in the cheapest packs."""
    coordinator_or_403(request)
    context = {
        "buying": _buying(request),
        "tops_up": _tops_up(request),
        "today": timezone.localdate(),
        "has_suppliers": Supplier.objects.live().exists(),
    }
    return render(request, "pulls/buying.html", context)


@require_GET
def buying_csv(request: HttpRequest) -> StreamingHttpResponse:
    coordinator_or_403(request)
    name = f"buying-{timezone.localdate().isoformat()}.csv"
    return StreamingHttpResponse(
        csv_lines(_csv_rows(_buying(request))),
        content_type="text/csv; charset=utf-8",
        headers={"Content-Disposition": f'attachment; filename="{name}"'},
    )


def _buying(request: HttpRequest) -> Buying:
    return what_to_buy(needs_of_planned_builds(), top_up=_tops_up(request))


def _tops_up(request: HttpRequest) -> bool:
    """Up to reorder levels, unless only what builds need was asked for."""
    return request.GET.get("only") != "builds"


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
