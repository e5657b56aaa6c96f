"""Spending by month and the value of the stock, as a page and as tables to download."""

from collections.abc import Iterator

from django.http import HttpRequest, HttpResponse, StreamingHttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_GET

from builds.store.models.spending import spending, stock_worth, years_of_spending
from habitats.csv_cells import csv_lines
from habitats.people.access import coordinator_or_403


@require_GET
def spent(request: HttpRequest) -> HttpResponse:
    """The months of one year: the one that the address names, else this one."""
    coordinator_or_403(request)
    years, asked = years_of_spending(), request.GET.get("year", "")
    year = next((one for one in years if str(one) == asked), timezone.localdate().year)
    context = {
        "year": year,
        "years": [one for one in years if one != year],
        "spending": spending(year),
        "stock": stock_worth(),
        "today": timezone.localdate(),
    }
    return render(request, "store/spending.html", context)


@require_GET
def spending_csv(request: HttpRequest) -> StreamingHttpResponse:
    """All months."""
    coordinator_or_403(request)
    return _csv("spending", _months())


@require_GET
def stock_worth_csv(request: HttpRequest) -> StreamingHttpResponse:
    coordinator_or_403(request)
    return _csv("stock-value", _items())


def _csv(name: str, rows: Iterator[tuple[object, ...]]) -> StreamingHttpResponse:
    file = f"{name}-{timezone.localdate().isoformat()}.csv"
    return StreamingHttpResponse(
        csv_lines(rows),
        content_type="text/csv; charset=utf-8",
        headers={"Content-Disposition": f'attachment; filename="{file}"'},
    )


def _months() -> Iterator[tuple[object, ...]]:
    yield ("month", "deliveries", "spent", "lines without a price")
    for one in spending().months:
        yield (f"{one.on:%Y-%m}", one.deliveries, one.spent, one.unknown)


def _items() -> Iterator[tuple[object, ...]]:
    yield ("item", "on hand", "unit", "price of one", "price from", "value")
    for one in stock_worth().rows:
        price = "" if one.price is None else one.price
        value = "" if one.worth is None else one.worth
        source = one.source.value if one.source else "unknown"
        yield (one.item.name, one.item.on_hand, one.item.unit, price, source, value)
