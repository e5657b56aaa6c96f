"""Deliveries: goods received together, and the reversal of a wrong one."""

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods

from builds.store.forms.suppliers import ReverseForm
from builds.store.models import facts as store_facts
from builds.store.models.deliveries import CannotReverse, Delivery
from builds.store.models.holders import ReservedFor
from builds.store.models.items import Item
from habitats.common.sent import form_page, sent_with
from habitats.people.access import coordinator_or_403
from habitats.people.views.based_on import accepted, based_on, refuse_if_changed, row_of

A_PAGE = 50


@require_GET
def deliveries(request: HttpRequest) -> HttpResponse:
    coordinator_or_403(request)
    found = Delivery.objects.with_names().with_lines().newest_first()
    page = Paginator(found, A_PAGE).get_page(request.GET.get("page"))
    return render(request, "store/deliveries.html", {"page": page})


@require_GET
def delivery(request: HttpRequest, pk: int) -> HttpResponse:
    """Its lines, and whether it was reversed."""
    coordinator_or_403(request)
    found = _delivery(pk)
    lines = found.movements.with_names().order_by("pk")
    return render(request, "store/one_delivery.html", {"delivery": found, "lines": lines})


@require_http_methods(["GET", "POST"])
@based_on(row_of(Delivery, "pk"), store_facts.delivery_now)
def reverse_delivery(request: HttpRequest, pk: int) -> HttpResponse:
    """It was wrong: what is still there of it comes off, after its figures were seen."""
    person = coordinator_or_403(request)
    found = _delivery(pk)
    here = redirect("builds:delivered", pk=pk)
    if found.is_reversed:
        refuse_if_changed(request)
        messages.error(request, found.already)
        return here
    form = ReverseForm(sent_with(request), rows=found.to_reverse())
    if accepted(request, form):
        given = form.cleaned_data
        try:
            lost = found.reverse(
                form.counts(), by=person, idempotency_key=given["once"], note=given["note"]
            )
            _tell(request, lost)
        except CannotReverse as reason:
            messages.error(request, str(reason))
        return here
    return form_page(request, "store/reverse_delivery.html", delivery=found, form=form)


def _tell(request: HttpRequest, lost: dict[Item, list[ReservedFor]]) -> None:
    messages.success(request, _("Delivery reversed. Its page lists what was taken out."))
    for item, holders in lost.items():
        for one in holders:
            messages.warning(request, _sentence(item, one))


def _sentence(item: Item, lost: ReservedFor) -> str:
    words = {"items": item.of(lost.count)}
    if lost.build is None:
        return _("Taken out with it: %(items)s, reserved for another purpose.") % words
    words |= {"code": lost.build.code, "build": str(lost.build)}
    return (
        _(
            "Taken out with it: %(items)s, reserved for build %(code)s, %(build)s. "
            "What the build still needs goes on the buying list."
        )
        % words
    )


def _delivery(pk: int) -> Delivery:
    return get_object_or_404(Delivery.objects.with_names(), pk=pk)
