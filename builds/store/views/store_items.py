"""One item of the store: its stock, its ledger, its movements."""

from collections.abc import Sequence
from datetime import date

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from builds.store.forms.items import ACTS, FORMER_ACTS, DayForm, EditItemForm, ItemForm
from builds.store.models import facts as store_facts
from builds.store.models.items import Item
from builds.store.models.reservations import reservations
from builds.store.models.stock import Stock, StockOn, stock_on, totals
from builds.store.pages import ArchiveButton, archived_or_restored
from habitats.common.sent import form_page, sent_with, status_of
from habitats.people.access import coordinator_or_403, member_or_403
from habitats.people.models.people import Person
from habitats.people.views.based_on import accepted, based_on, of_form, refuse_if_changed, row_of
from habitats.rescue.models.rescue import Rescue

MOVEMENTS_A_PAGE = 50


@require_GET
def item(request: HttpRequest, pk: int) -> HttpResponse:
    member_or_403(request, Person.Role.BUILDER)
    found = _item(pk)
    form = DayForm(request.GET, today=timezone.localdate())
    stocks = _stocks(found, form.day)
    on_hand, reserved, free = totals(stocks)
    ledger = found.movements.with_names().newest_first()
    ledger = ledger.until(form.day) if form.day else ledger
    context = {
        "item": found,
        "sheet": getattr(found, "sheet", None),
        "form": form,
        "day": form.day,
        "stocks": stocks,
        "on_hand": on_hand,
        "reserved": reserved,
        "free": free,
        "is_short": not form.day and found.reorder_at is not None and free < found.reorder_at,
        "reservations": [] if form.day else reservations(found),
        "packs": found.packs.live().with_names().by_supplier(),
        "page": Paginator(ledger, MOVEMENTS_A_PAGE).get_page(request.GET.get("page")),
        "instead": found.taken_instead(),
    }
    return render(request, "store/item.html", context, status=status_of(form))


@require_http_methods(["GET", "POST"])
def new_item(request: HttpRequest) -> HttpResponse:
    person = coordinator_or_403(request)
    kind = request.GET.get("kind", "")
    if request.method == "GET" and kind not in dict(ItemForm.KINDS):
        return render(request, "store/new_item.html", {"kinds": ItemForm.KINDS})
    panel = Rescue.ours().panel
    form = ItemForm(sent_with(request), units=person.units, panel=panel, initial={"kind": kind})
    if request.method == "POST" and form.is_valid():
        made = form.save()
        messages.success(
            request, _("“%(name)s” is saved. Record how many you have.") % {"name": made}
        )
        return redirect("builds:item", pk=made.pk)
    label = dict(ItemForm.KINDS).get(form["kind"].value() or "", _("Item"))
    return form_page(
        request,
        "store/form.html",
        form=form,
        heading=_("New item: %(kind)s") % {"kind": label},
        purpose=_("What you keep in the store, and when to buy more."),
        back=reverse("builds:new_item"),
    )


@require_http_methods(["GET", "POST"])
@based_on(row_of(Item, "pk"), of_form(EditItemForm))
def edit_item(request: HttpRequest, pk: int) -> HttpResponse:
    coordinator_or_403(request)
    found = _item(pk)
    form = EditItemForm(sent_with(request), instance=_item(pk))
    if accepted(request, form):
        form.save()
        messages.success(request, _("Changes to “%(name)s” are saved.") % {"name": form.instance})
        return redirect("builds:item", pk=pk)
    away = reverse("builds:put_item_away", args=[pk])
    sentence = _("Builds do not use an archived item. Its stock stays in the store.")
    return form_page(
        request,
        "store/form.html",
        form=form,
        heading=_("Edit %(name)s") % {"name": found},
        purpose=_("Below its reorder level, the item is shown on Today."),
        back=reverse("builds:item", args=[pk]),
        turn=None
        if found.kind == Item.Kind.SHEET
        else ArchiveButton("builds:put_item_away", found, away, found.is_put_away, sentence),
    )


@require_POST
@based_on(row_of(Item, "pk"), store_facts.put_away)
def put_item_away(request: HttpRequest, pk: int) -> HttpResponse:
    """An item is used no more, or again. What is left of it stays counted."""
    coordinator_or_403(request)
    refuse_if_changed(request)
    found = get_object_or_404(Item, pk=pk, sheet__isnull=True)
    found.is_put_away = not found.is_put_away
    found.save(update_fields=["is_put_away"])
    messages.success(request, archived_or_restored(found, found.is_put_away))
    return redirect("builds:item", pk=pk)


@require_http_methods(["GET", "POST"])
def item_act(request: HttpRequest, pk: int, act: str) -> HttpResponse:
    """Something came in, was taken, moved, counted or written off."""
    person = coordinator_or_403(request)
    if act in FORMER_ACTS and request.method != "POST":
        return redirect("builds:item_act", pk=pk, act=FORMER_ACTS[act], permanent=True)
    act = FORMER_ACTS.get(act, act)
    found = _item(pk)
    if act not in ACTS:
        raise Http404(_("There is no such action for an item."))
    form = ACTS[act](sent_with(request), item=found)
    if request.method == "POST" and form.is_valid() and form.record(by=person):
        items = found.of(form.cleaned_data["count"])
        messages.success(request, form.done % {"items": items})
        return redirect("builds:item", pk=pk)
    back = reverse("builds:item", args=[pk])
    return form_page(
        request,
        "store/form.html",
        form=form,
        heading=form.heading % {"item": found},
        purpose=_("It is recorded in the history of this item."),
        back=back,
        button=form.button,
    )


def _stocks(item: Item, day: date | None) -> Sequence[Stock | StockOn]:
    if day:
        return stock_on(day, item=item)
    return list(item.stocks.lying().with_names().by_place())


def _item(pk: int) -> Item:
    return get_object_or_404(Item.objects.select_related("sheet"), pk=pk)
