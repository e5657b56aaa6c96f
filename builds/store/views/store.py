"""The overview of the store, by item and by place; places."""

from collections import defaultdict
from collections.abc import Iterable
from datetime import date

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from builds.store.forms.items import DayForm, FindItemsForm
from builds.store.forms.places import PlaceForm
from builds.store.models import facts as store_facts
from builds.store.models.items import Item
from builds.store.models.lying import is_empty, with_counts
from builds.store.models.offcuts import Offcut
from builds.store.models.places import Place
from builds.store.models.sheets import SheetKind
from builds.store.models.stock import Stock, StockOn, stock_on, totals
from builds.store.pages import ArchiveButton, archived_or_restored
from habitats.common.sent import form_page, sent_with, status_of
from habitats.people.access import coordinator_or_403, member_or_403
from habitats.people.models.people import Person
from habitats.people.views.based_on import accepted, based_on, of_form, refuse_if_changed, row_of

A_PAGE = 50
BUILDER = Person.Role.BUILDER


@require_GET
def store(request: HttpRequest) -> HttpResponse:
    """By item: what there is of each, and where."""
    member_or_403(request, BUILDER)
    form = FindItemsForm(request.GET, today=timezone.localdate())
    items = form.found(Item.objects.live().with_stock()).by_kind()
    if form.asked.get("short"):
        items = items.to_reorder().by_kind()
    page = Paginator(items, A_PAGE).get_page(request.GET.get("page"))
    context = {
        "form": form,
        "day": form.day,
        "page": page,
        "rows": _rows(list(page.object_list), form.day),
        "any": Item.objects.exists(),
        "places": Place.objects.live(),  # asked only where nothing is counted yet
        "short": Item.objects.to_reorder().count(),
    }
    return render(request, "store/store.html", context, status=status_of(form))


@require_GET
def store_places(request: HttpRequest) -> HttpResponse:
    """By place: what lies in each, and when it was last counted."""
    member_or_403(request, BUILDER)
    places = with_counts(Place.objects.live()).by_code()
    context = {
        "page": Paginator(places, A_PAGE).get_page(request.GET.get("page")),
        "put_away": Place.objects.filter(is_put_away=True).by_code(),
    }
    return render(request, "store/places.html", context)


@require_GET
def store_offcuts(request: HttpRequest) -> HttpResponse:
    """Sheets by kind, and the offcuts that are left of them."""
    member_or_403(request, BUILDER)
    offcuts = Offcut.objects.in_store().with_place().select_related("kind").largest_first()
    context = {
        "kinds": SheetKind.objects.live().with_on_hand().by_size(),
        "retired": SheetKind.objects.retired().by_size(),
        "offcuts": Paginator(offcuts, A_PAGE).get_page(request.GET.get("page")),
    }
    return render(request, "store/offcuts.html", context)


@require_GET
def place(request: HttpRequest, code: str) -> HttpResponse:
    """A place's list: what lies there, now or at the end of a day."""
    member_or_403(request, BUILDER)
    found = _place(code)
    form = DayForm(request.GET, today=timezone.localdate())
    stocks: Iterable[Stock | StockOn] = (
        stock_on(form.day, place=found) if form.day else found.stocks.lying().with_names().by_item()
    )
    offcuts = Offcut.objects.in_store().filter(place=found).select_related("kind").largest_first()
    context = {
        "place": found,
        "form": form,
        "day": form.day,
        "stocks": sorted(stocks, key=lambda one: (_order_of(one.item), one.item.name)),
        "offcuts": offcuts,
        "stocktake": found.stocktakes.select_related("made_by").order_by("-made_at").first(),
    }
    return render(request, "store/place.html", context, status=status_of(form))


@require_http_methods(["GET", "POST"])
def new_place(request: HttpRequest) -> HttpResponse:
    coordinator_or_403(request)
    form = PlaceForm(sent_with(request))
    if request.method == "POST" and form.is_valid():
        made = form.save()
        messages.success(
            request,
            _("“%(place)s” is saved. Write %(code)s on it.") % {"place": made, "code": made.code},
        )
        return redirect("builds:place", code=made.code)
    return form_page(
        request,
        "store/form.html",
        form=form,
        heading=_("New place"),
        purpose=_("A shelf, a box or a room, with a short code to write on it."),
        back=reverse("builds:store_places"),
    )


@require_http_methods(["GET", "POST"])
@based_on(row_of(Place), of_form(PlaceForm))
def edit_place(request: HttpRequest, code: str) -> HttpResponse:
    coordinator_or_403(request)
    found = _place(code)
    form = PlaceForm(sent_with(request), instance=_place(code))
    if accepted(request, form):
        made = form.save()
        messages.success(request, _("Changes to “%(name)s” are saved.") % {"name": made})
        return redirect("builds:place", code=made.code)
    turn = ArchiveButton(
        "builds:put_place_away",
        found,
        reverse("builds:put_place_away", args=[found.code]),
        found.is_put_away,
        _("You can archive a place when it is empty. Nothing can be put in an archived place."),
    )
    back = reverse("builds:place", args=[found.code])
    return form_page(
        request,
        "store/form.html",
        form=form,
        heading=_("Edit %(name)s") % {"name": found},
        purpose=_("What lies there, and its history, stay as they are."),
        back=back,
        turn=turn,
    )


@require_POST
@based_on(row_of(Place), store_facts.put_away)
def put_place_away(request: HttpRequest, code: str) -> HttpResponse:
    """An empty place is used no more, or again."""
    coordinator_or_403(request)
    refuse_if_changed(request)
    found = _place(code)
    if not found.is_put_away and not is_empty(found):
        sentence = _("“%(place)s” is not empty. Move or count what is there, then archive it.")
        messages.error(request, sentence % {"place": found})
        return redirect("builds:place", code=found.code)
    found.is_put_away = not found.is_put_away
    found.save(update_fields=["is_put_away"])
    messages.success(request, archived_or_restored(found, found.is_put_away))
    return redirect("builds:place", code=found.code)


def _rows(items: list[Item], day: date | None) -> list[dict[str, object]]:
    """Each item with what lies where: one query for all of them."""
    lying: dict[int, list[Stock | StockOn]] = defaultdict(list)
    if day:
        for one in stock_on(day, among=items):
            lying[one.item.pk].append(one)
    else:
        for stock in Stock.objects.filter(item__in=items).lying().with_names().by_place():
            lying[stock.item_id].append(stock)
    return [_row(item, lying[item.pk], day) for item in items]


def _row(item: Item, stocks: list[Stock | StockOn], day: date | None) -> dict[str, object]:
    on_hand, reserved, free = totals(stocks)
    return {
        "item": item,
        "on_hand": on_hand,
        "reserved": reserved,
        "free": free,
        "stocks": stocks,
        "is_short": item.is_short and not day,
    }


def _order_of(item: Item) -> int:
    return list(Item.Kind.values).index(item.kind)


def _place(code: str) -> Place:
    return get_object_or_404(Place, code=code.upper())
