"""Suppliers with their packs, and goods received."""

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from builds.store.forms.suppliers import DeliveryForm, PackForm, SupplierForm
from builds.store.models import facts as store_facts
from builds.store.models.movements import CannotMove
from builds.store.models.suppliers import PackOffer, Supplier
from builds.store.pages import ArchiveButton, archived_or_restored
from habitats.common.sent import form_page, sent_with, status_of
from habitats.people.access import coordinator_or_403
from habitats.people.views.based_on import accepted, based_on, of_form, refuse_if_changed, row_of

A_PAGE = 50
LATEST = 10  # deliveries on a supplier's page


@require_GET
def suppliers(request: HttpRequest) -> HttpResponse:
    coordinator_or_403(request)
    found = Supplier.objects.live().with_counts().by_name()
    context = {
        "page": Paginator(found, A_PAGE).get_page(request.GET.get("page")),
        "put_away": Supplier.objects.filter(is_put_away=True).by_name(),
    }
    return render(request, "store/suppliers.html", context)


@require_http_methods(["GET", "POST"])
def new_supplier(request: HttpRequest) -> HttpResponse:
    coordinator_or_403(request)
    form = SupplierForm(sent_with(request))
    if request.method == "POST" and form.is_valid():
        made = form.save()
        sentence = _("“%(name)s” is saved. Add the packs that you buy from this supplier.")
        messages.success(request, sentence % {"name": made})
        return redirect("builds:supplier", pk=made.pk)
    return form_page(
        request,
        "store/form.html",
        form=form,
        heading=_("New supplier"),
        purpose=_("Where you buy. You add packs and prices next."),
        back=reverse("builds:suppliers"),
    )


@require_GET
def supplier(request: HttpRequest, pk: int) -> HttpResponse:
    coordinator_or_403(request)
    found = get_object_or_404(Supplier, pk=pk)
    packs = found.packs.with_names().by_supplier()
    context = {
        "supplier": found,
        "page": Paginator(packs.filter(is_put_away=False), A_PAGE).get_page(
            request.GET.get("page")
        ),
        "put_away": packs.filter(is_put_away=True),
        "deliveries": found.deliveries.with_names().newest_first()[:LATEST],
    }
    return render(request, "store/supplier.html", context)


@require_http_methods(["GET", "POST"])
@based_on(row_of(Supplier, "pk"), of_form(SupplierForm))
def edit_supplier(request: HttpRequest, pk: int) -> HttpResponse:
    coordinator_or_403(request)
    found = get_object_or_404(Supplier, pk=pk)
    name = str(found)  # the form writes into the supplier, also what it then refuses
    form = SupplierForm(sent_with(request), instance=found)
    if accepted(request, form):
        form.save()
        messages.success(request, _("Changes to “%(name)s” are saved.") % {"name": found})
        return redirect("builds:supplier", pk=pk)
    turn = ArchiveButton(
        "builds:put_supplier_away",
        found,
        reverse("builds:put_supplier_away", args=[pk]),
        found.is_put_away,
        _("The buying list does not use an archived supplier."),
    )
    back = reverse("builds:supplier", args=[pk])
    return form_page(
        request,
        "store/form.html",
        form=form,
        heading=_("Edit %(name)s") % {"name": name},
        purpose=_("The name is on the buying list and on deliveries."),
        back=back,
        turn=turn,
    )


@require_POST
@based_on(row_of(Supplier, "pk"), store_facts.put_away)
def put_supplier_away(request: HttpRequest, pk: int) -> HttpResponse:
    """Nothing is bought there any more, or again."""
    coordinator_or_403(request)
    refuse_if_changed(request)
    found = get_object_or_404(Supplier, pk=pk)
    _turn(found)
    messages.success(request, archived_or_restored(found, found.is_put_away))
    return redirect("builds:supplier", pk=pk)


@require_http_methods(["GET", "POST"])
def new_pack(request: HttpRequest, pk: int) -> HttpResponse:
    coordinator_or_403(request)
    found = get_object_or_404(Supplier, pk=pk)
    asked = {"item": request.GET.get("item")}
    form = PackForm(sent_with(request), supplier=found, initial=asked)
    if request.method == "POST" and form.is_valid():
        made = form.save()
        sentence = _("%(item)s: %(pack)s is saved.")
        messages.success(request, sentence % {"item": made.item, "pack": made})
        return redirect("builds:supplier", pk=pk)
    back = reverse("builds:supplier", args=[pk])
    heading = _("New pack from %(supplier)s") % {"supplier": found}
    return form_page(
        request,
        "store/form.html",
        form=form,
        heading=heading,
        purpose=_("How many come in one pack, and at what price."),
        back=back,
    )


@require_http_methods(["GET", "POST"])
@based_on(row_of(PackOffer, "pk"), of_form(PackForm))
def edit_pack(request: HttpRequest, pk: int) -> HttpResponse:
    coordinator_or_403(request)
    pack = get_object_or_404(PackOffer.objects.with_names(), pk=pk)
    seller, is_put_away = pack.supplier, pack.is_put_away
    form = PackForm(sent_with(request), supplier=seller, instance=pack)
    if accepted(request, form):
        form.save()
        messages.success(request, _("Changes saved."))
        return redirect("builds:supplier", pk=seller.pk)
    turn = ArchiveButton(
        "builds:put_pack_away",
        pack,
        reverse("builds:put_pack_away", args=[pk]),
        is_put_away,
        _("The buying list does not use an archived pack."),
    )
    back = reverse("builds:supplier", args=[seller.pk])
    heading = _("Edit pack from %(supplier)s") % {"supplier": seller}
    return form_page(
        request,
        "store/form.html",
        form=form,
        heading=heading,
        purpose=_("The buying list uses the new price from now on."),
        back=back,
        turn=turn,
    )


@require_POST
@based_on(row_of(PackOffer, "pk"), store_facts.put_away)
def put_pack_away(request: HttpRequest, pk: int) -> HttpResponse:
    """A pack is no longer sold, or again."""
    coordinator_or_403(request)
    refuse_if_changed(request)
    pack = get_object_or_404(PackOffer.objects.with_names(), pk=pk)
    _turn(pack)
    archived = _("%(item)s: %(pack)s is archived.")
    restored = _("%(item)s: %(pack)s is in use again.")
    sentence = archived if pack.is_put_away else restored
    messages.success(request, sentence % {"item": pack.item, "pack": pack})
    return redirect("builds:supplier", pk=pack.supplier_id)


@require_http_methods(["GET", "POST"])
def delivery(request: HttpRequest, pk: int) -> HttpResponse:
    """Receive goods from a supplier."""
    person = coordinator_or_403(request)
    found = get_object_or_404(Supplier, pk=pk)
    form = DeliveryForm(sent_with(request), supplier=found)
    if request.method == "POST" and form.is_valid():
        try:
            number = form.take_in(by=person)
        except CannotMove as reason:
            form.add_error(None, str(reason))
        else:
            sentence = ngettext(
                "Received: %(count)d line from “%(supplier)s”.",
                "Received: %(count)d lines from “%(supplier)s”.",
                number,
            )
            messages.success(request, sentence % {"count": number, "supplier": found})
            return redirect("builds:place", code=form.cleaned_data["place"].code)
    context = {"form": form, "supplier": found}
    return render(request, "store/delivery.html", context, status=status_of(form))


def _turn(row: Supplier | PackOffer) -> None:
    row.is_put_away = not row.is_put_away
    row.save(update_fields=["is_put_away"])
