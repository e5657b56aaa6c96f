"""Kinds of sheet, and offcuts with their labels."""

import uuid

from django.contrib import messages
from django.core.exceptions import PermissionDenied
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from builds.common.fields import OnceForm
from builds.common.paper import print_of
from builds.store.forms.store import CostForm, LiesForm, OffcutForm, SheetKindForm
from builds.store.models import facts as store_facts
from builds.store.models.movements import NotEnough
from builds.store.models.offcuts import Offcut
from builds.store.models.sheets import SheetKind
from builds.store.pages import ArchiveButton, archived_or_restored
from builds.store.paper import labels, sticker_of
from habitats.common.sent import form_page, sent_with, status_of
from habitats.people.access import coordinator_or_403, member_or_403
from habitats.people.models.people import Person
from habitats.people.views.based_on import accepted, based_on, of_form, refuse_if_changed, row_of


@require_http_methods(["GET", "POST"])
def new_sheet_kind(request: HttpRequest) -> HttpResponse:
    person = coordinator_or_403(request)
    form = SheetKindForm(sent_with(request), units=person.units)
    if request.method == "POST" and form.is_valid():
        kind = form.save()
        messages.success(
            request, _("“%(name)s” is saved. Record how many you have.") % {"name": kind}
        )
        return redirect("builds:item", pk=kind.item_id)
    return form_page(
        request,
        "store/form.html",
        form=form,
        heading=_("New sheet"),
        purpose=_("A size of sheet that you buy. Cutting plans use it."),
        back=reverse("builds:store_offcuts"),
    )


@require_GET
def sheet_kind(request: HttpRequest, pk: int) -> HttpResponse:
    """A kind of sheet is counted as an item: its page is the item's."""
    member_or_403(request, Person.Role.BUILDER)
    return redirect("builds:item", pk=_kind(pk).item_id)


@require_http_methods(["GET", "POST"])
@based_on(row_of(SheetKind, "pk"), of_form(CostForm))
def change_sheet_kind(request: HttpRequest, pk: int) -> HttpResponse:
    coordinator_or_403(request)
    kind = _kind(pk)
    form = CostForm(sent_with(request), instance=_kind(pk))
    if accepted(request, form):
        form.save()
        messages.success(request, _("Changes saved. Sheet plans made before keep their cost."))
        return redirect("builds:item", pk=kind.item_id)
    turn = ArchiveButton(
        "builds:retire_sheet_kind",
        kind,
        reverse("builds:retire_sheet_kind", args=[pk]),
        kind.is_retired,
        _("New sheet plans do not use an archived sheet."),
    )
    back = reverse("builds:item", args=[kind.item_id])
    return form_page(
        request,
        "store/form.html",
        form=form,
        heading=_("Edit %(name)s") % {"name": kind},
        purpose=_("Cutting plans that are made from now on use what you save."),
        back=back,
        turn=turn,
    )


@require_POST
@based_on(row_of(SheetKind, "pk"), store_facts.retired)
def retire_sheet_kind(request: HttpRequest, pk: int) -> HttpResponse:
    """Archive a kind, or restore it."""
    coordinator_or_403(request)
    refuse_if_changed(request)
    kind = _kind(pk)
    kind.retired_at = None if kind.is_retired else timezone.now()
    kind.save(update_fields=["retired_at"])
    messages.success(request, archived_or_restored(kind, kind.is_retired))
    return redirect("builds:item", pk=kind.item_id)


@require_http_methods(["GET", "POST"])
def new_offcut(request: HttpRequest) -> HttpResponse:
    person = coordinator_or_403(request)
    form = OffcutForm(sent_with(request), units=person.units, initial={"once": uuid.uuid4()})
    if request.method == "POST" and form.is_valid():
        offcut = form.save(by=person)
        messages.success(
            request,
            _("Write %(label)s on the offcut, or print its label.") % {"label": offcut.label},
        )
        return redirect("builds:offcut", label=offcut.label)
    has_kinds = SheetKind.objects.live().exists()
    context = {"form": form, "has_kinds": has_kinds}
    return render(request, "store/new_offcut.html", context, status=status_of(form))


@require_http_methods(["GET", "POST"])
@based_on(row_of(Offcut, "label"), store_facts.lies)
def offcut(request: HttpRequest, label: str) -> HttpResponse:
    """One offcut: what became of it, and where it lies. Builders read it."""
    person = member_or_403(request, Person.Role.BUILDER)
    found = _offcut(label)
    is_sent = request.method == "POST"
    if is_sent and not person.is_coordinator:
        raise PermissionDenied(_("Ask a coordinator to record its place."))
    form = LiesForm(sent_with(request), initial={"once": uuid.uuid4(), "place": found.place_id})
    if accepted(request, form):
        try:
            found.put(
                form.cleaned_data["place"], by=person, idempotency_key=form.cleaned_data["once"]
            )
            return redirect("builds:offcut", label=found.label)
        except NotEnough as reason:
            form.add_error(None, str(reason))
    moves = found.moves.select_related("made_by", "job", "place").order_by("-pk")
    context = {
        "offcut": found,
        "moves": moves,
        "form": form,
        "is_there": Offcut.objects.in_store().filter(pk=found.pk).exists(),
        "once": uuid.uuid4(),
    }
    return render(request, "store/offcut.html", context, status=status_of(form))


@require_POST
def write_off_offcut(request: HttpRequest, label: str) -> HttpResponse:
    person = coordinator_or_403(request)
    found = _offcut(label)
    form = OnceForm(request.POST)
    try:
        found.write_off(
            by=person, idempotency_key=form.cleaned_data["once"] if form.is_valid() else None
        )
        sentence = _("Offcut %(label)s is written off.")
        messages.success(request, sentence % {"label": found.label})
    except NotEnough as reason:
        messages.error(request, str(reason))
    return redirect("builds:store_offcuts")


@require_GET
def store_labels_pdf(request: HttpRequest) -> HttpResponse:
    """Labels of all offcuts in the store, or of those named in the address."""
    person = member_or_403(request, Person.Role.BUILDER)
    how = print_of(person, request.GET)
    offcuts = Offcut.objects.in_store().with_place().select_related("kind").largest_first()
    if asked := request.GET.getlist("label"):
        offcuts = offcuts.filter(label__in=asked)
    return labels([sticker_of(one, how.units) for one in offcuts], _("Offcuts"), how, "offcuts.pdf")


def _kind(pk: int) -> SheetKind:
    return get_object_or_404(SheetKind.objects.with_on_hand(), pk=pk)


def _offcut(label: str) -> Offcut:
    offcuts = Offcut.objects.with_place().select_related("kind", "from_job")
    return get_object_or_404(offcuts, label=label.upper())
