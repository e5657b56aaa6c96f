"""The store: kinds of sheet with what there is, and offcuts with their labels."""

import uuid

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from builds.forms.batches import DropForm
from builds.forms.store import CostForm, MovementForm, OffcutForm, PlaceForm, SheetKindForm
from builds.models import Offcut, SheetKind
from builds.models.movements import NotEnough
from builds.views.cutting import sticker_of
from builds.views.sheet_files import labels, print_of
from habitats.access import coordinator_or_403

UNPROCESSABLE = 422
OFFCUTS_A_PAGE, MOVEMENTS_A_PAGE = 50, 50


@require_GET
def store(request: HttpRequest) -> HttpResponse:
    coordinator_or_403(request)
    offcuts = Offcut.objects.in_store().with_place().select_related("kind").largest_first()
    context = {
        "kinds": SheetKind.objects.live().with_on_hand().by_size(),
        "retired": SheetKind.objects.retired().by_size(),
        "offcuts": Paginator(offcuts, OFFCUTS_A_PAGE).get_page(request.GET.get("page")),
    }
    return render(request, "store/store.html", context)


@require_http_methods(["GET", "POST"])
def new_sheet_kind(request: HttpRequest) -> HttpResponse:
    person = coordinator_or_403(request)
    sent = request.POST if request.method == "POST" else None
    form = SheetKindForm(sent, units=person.units)
    if sent is not None and form.is_valid():
        kind = form.save()
        messages.success(request, f"“{kind}” is kept. Say how many there are.")
        return redirect("builds:sheet_kind", pk=kind.pk)
    status = UNPROCESSABLE if form.errors else 200
    return render(request, "store/new_sheet_kind.html", {"form": form}, status=status)


@require_GET
def sheet_kind(request: HttpRequest, pk: int) -> HttpResponse:
    coordinator_or_403(request)
    return _kind_page(request, _kind(pk))


@require_POST
def move_sheets(request: HttpRequest, pk: int) -> HttpResponse:
    person = coordinator_or_403(request)
    kind = _kind(pk)
    form = MovementForm(request.POST)
    if not form.is_valid():
        return _kind_page(request, kind, movement=form)
    try:
        form.append(kind, by=person)
    except NotEnough as reason:
        form.add_error("number", str(reason))
        return _kind_page(request, kind, movement=form)
    messages.success(request, f"Written down. The store has {kind.count_on_hand()}.")
    return redirect("builds:sheet_kind", pk=pk)


@require_POST
def change_sheet_kind(request: HttpRequest, pk: int) -> HttpResponse:
    coordinator_or_403(request)
    kind = _kind(pk)
    form = CostForm(request.POST, instance=_kind(pk))
    if not form.is_valid():
        return _kind_page(request, kind, cost=form)
    form.save()
    messages.success(request, "What you changed is kept. Plans already made keep their cost.")
    return redirect("builds:sheet_kind", pk=pk)


@require_POST
def retire_sheet_kind(request: HttpRequest, pk: int) -> HttpResponse:
    """Put a kind away, or bring it back."""
    coordinator_or_403(request)
    kind = _kind(pk)
    kind.retired_at = None if kind.is_retired else timezone.now()
    kind.save(update_fields=["retired_at"])
    told = "is put away: no new plan offers it." if kind.is_retired else "is back."
    messages.success(request, f"“{kind}” {told}")
    return redirect("builds:sheet_kind", pk=pk)


@require_http_methods(["GET", "POST"])
def new_offcut(request: HttpRequest) -> HttpResponse:
    person = coordinator_or_403(request)
    sent = request.POST if request.method == "POST" else None
    form = OffcutForm(sent, units=person.units, initial={"once": uuid.uuid4()})
    if sent is not None and form.is_valid():
        offcut = form.save(by=person)
        messages.success(request, f"Write {offcut.label} on it, or print its label.")
        return redirect("builds:offcut", label=offcut.label)
    has_kinds = SheetKind.objects.live().exists()
    context = {"form": form, "has_kinds": has_kinds}
    status = UNPROCESSABLE if form.errors else 200
    return render(request, "store/new_offcut.html", context, status=status)


@require_http_methods(["GET", "POST"])
def offcut(request: HttpRequest, label: str) -> HttpResponse:
    """One offcut: what became of it, and where it lies."""
    person = coordinator_or_403(request)
    found = _offcut(label)
    sent = request.POST if request.method == "POST" else None
    form = PlaceForm(sent, initial={"once": uuid.uuid4()})
    if sent is not None and form.is_valid():
        try:
            found.put(form.cleaned_data["place"], by=person, once=form.cleaned_data["once"])
            return redirect("builds:offcut", label=found.label)
        except NotEnough as reason:
            form.add_error(None, str(reason))
    moves = found.moves.select_related("made_by", "job").order_by("-pk")
    context = {
        "offcut": found,
        "moves": moves,
        "form": form,
        "is_there": Offcut.objects.in_store().filter(pk=found.pk).exists(),
        "once": uuid.uuid4(),
    }
    return render(
        request, "store/offcut.html", context, status=UNPROCESSABLE if form.errors else 200
    )


@require_POST
def scrap_offcut(request: HttpRequest, label: str) -> HttpResponse:
    person = coordinator_or_403(request)
    found = _offcut(label)
    form = DropForm(request.POST)
    try:
        found.scrap(by=person, once=form.cleaned_data["once"] if form.is_valid() else None)
        messages.success(request, f"Offcut {found.label} is thrown away.")
    except NotEnough as reason:
        messages.error(request, str(reason))
    return redirect("builds:store")


@require_GET
def store_labels_pdf(request: HttpRequest) -> HttpResponse:
    """Labels of all offcuts in the store, or of those named in the address."""
    person = coordinator_or_403(request)
    how = print_of(person, request.GET)
    offcuts = Offcut.objects.in_store().with_place().select_related("kind").largest_first()
    if asked := request.GET.getlist("label"):
        offcuts = offcuts.filter(label__in=asked)
    return labels([sticker_of(one, how.units) for one in offcuts], "Offcuts", how, "offcuts.pdf")


def _kind(pk: int) -> SheetKind:
    return get_object_or_404(SheetKind.objects.with_on_hand(), pk=pk)


def _offcut(label: str) -> Offcut:
    offcuts = Offcut.objects.with_place().select_related("kind", "from_job")
    return get_object_or_404(offcuts, label=label.upper())


def _kind_page(
    request: HttpRequest,
    kind: SheetKind,
    *,
    movement: MovementForm | None = None,
    cost: CostForm | None = None,
) -> HttpResponse:
    moves = kind.item.movements.select_related("made_by", "job").order_by("-number")
    context = {
        "kind": kind,
        "movements": Paginator(moves, MOVEMENTS_A_PAGE).get_page(request.GET.get("page")),
        "movement": movement or MovementForm(initial={"once": uuid.uuid4()}),
        "cost": cost or CostForm(instance=kind),
    }
    status = UNPROCESSABLE if movement or cost else 200
    return render(request, "store/sheet_kind.html", context, status=status)
