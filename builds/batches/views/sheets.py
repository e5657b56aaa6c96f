"""The sheet plan of one design, from the sheets and offcuts of the store; nothing is saved.

The coordinator can have it cut: that makes a batch of the one design, and its job.
"""

import uuid
from decimal import Decimal

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_GET, require_POST

from builds.batches import tasks
from builds.batches.forms import OfferForm, offered
from builds.batches.models.batches import LONGEST_NAME, Batch
from builds.batches.models.cutting_lines import CannotCut
from builds.batches.pages.design_plan import plan_for
from builds.batches.pages.plan_page import PlanPage
from builds.batches.pages.sheet_files import sheet_file
from builds.batches.paper.pages import sheets_page
from builds.common.cutter_files import side_up
from builds.common.paper import Label, label_for, print_of, shown
from builds.cutting import StockSheet
from builds.designs.pages.design_seen import design_seen_by
from builds.making.blank import STOCK_SHEET
from builds.sheets import CuttingPlan, OfferedSheet, SheetOffer, offer_document
from builds.store.models.sheets import SheetKind, usual_kinds
from habitats.common.kept_prints import kept_pdf_from
from habitats.designs.models.designs import Design
from habitats.people.access import coordinator_or_403, member_or_403
from habitats.people.models.people import Person
from habitats.structure.faults import BadDesign
from habitats.wording import message

KIND = "design"
UNPROCESSABLE = 422
# Where the store knows no sheet yet.
TRADE_SHEET = OfferedSheet(
    StockSheet("sheet:0", STOCK_SHEET.width_mm, STOCK_SHEET.height_mm, None, Decimal(1)),
    message("Standard sheet"),
)


@require_GET
def design_sheets(request: HttpRequest, code: str) -> HttpResponse:
    person = member_or_403(request, Person.Role.BUILDER)
    design = design_seen_by(person, code)
    asked = request.GET if "kinds" in request.GET else None
    form = OfferForm(asked, units=person.units, initial={"once": uuid.uuid4()})
    if asked and not form.is_valid():
        return _page(request, design, form, None, UNPROCESSABLE)
    offer = form.offer() if asked else _usual_offer()
    try:
        plan = plan_for(design.shape(), design.code, offer)
    except BadDesign as bad:
        context = {"design": design, "faults": bad.faults}
        return render(request, "packet/cannot_stand.html", context, status=409)
    is_priced = offer.stock[0] != TRADE_SHEET
    number = request.GET.get("page", "1")
    page = PlanPage(plan, person.units, number=number, is_priced=is_priced)
    return _page(request, design, form, page, 200)


@require_POST
def cut_design(request: HttpRequest, code: str) -> HttpResponse:
    """A batch of this one design, and the job to cut it."""
    person = coordinator_or_403(request)
    design = design_seen_by(person, code)
    form = OfferForm(request.POST, units=person.units)
    if not form.is_valid():
        return _page(request, design, form, None, UNPROCESSABLE)
    idempotency_key = form.cleaned_data["once"] or uuid.uuid4()
    try:
        batch = Batch.objects.begin(
            design.name[:LONGEST_NAME], by=person, idempotency_key=idempotency_key
        )
        batch.add(design, 1, idempotency_key=uuid.uuid5(idempotency_key, "line"))
        job = batch.job(
            offer_document(form.offer()),
            by=person,
            idempotency_key=uuid.uuid5(idempotency_key, "job"),
        )
        if not job.runs.exists():
            tasks.begin(job, form.cleaned_data["seconds"])
    except CannotCut as reason:
        messages.error(request, str(reason))
        return redirect("builds:design_sheets", code=design.code)
    return redirect("builds:cutting", code=job.code)


@require_GET
def design_sheets_pdf(request: HttpRequest, code: str) -> HttpResponse:
    person = member_or_403(request, Person.Role.BUILDER)
    design = design_seen_by(person, code)
    plan = _plan(request, person, design)
    if isinstance(plan, HttpResponse):
        return plan
    page = sheets_page(plan, _label(request, design), print_of(person, request.GET), kind=KIND)
    return shown(kept_pdf_from(page), f"sheets-{design.code}.pdf")


@require_GET
def design_sheet_file(request: HttpRequest, code: str, number: str, form: str) -> HttpResponse:
    person = member_or_403(request, Person.Role.BUILDER)
    design = design_seen_by(person, code)
    plan = _plan(request, person, design)
    if isinstance(plan, HttpResponse):
        return plan
    how = print_of(person, request.GET)
    up = side_up(request.GET)
    return sheet_file(plan, int(number), form, _label(request, design), how, KIND, up)


def _plan(request: HttpRequest, person: Person, design: Design) -> CuttingPlan | HttpResponse:
    """The plan as the address asks for it; the way back to the page where that makes no sense."""
    back = redirect("builds:design_sheets", code=design.code)
    if "kinds" not in request.GET:
        offer = _usual_offer()
    else:
        form = OfferForm(request.GET, units=person.units)
        if not form.is_valid():
            return back
        offer = form.offer()
    try:
        return plan_for(design.shape(), design.code, offer)
    except BadDesign:
        return back


def _usual_offer() -> SheetOffer:
    """What is in the store, of one thickness; a trade sheet where it knows none."""
    kinds = usual_kinds(SheetKind.objects.live().with_free().by_size())
    return SheetOffer(offered(kinds, may_buy=True, use_offcuts=True) if kinds else (TRADE_SHEET,))


def _label(request: HttpRequest, design: Design) -> Label:
    path = reverse("builds:short_link", args=[design.code])
    return label_for(request, design.name, design.code, path)


def _page(
    request: HttpRequest, design: Design, form: OfferForm, page: PlanPage | None, status: int
) -> HttpResponse:
    context = {
        "design": design,
        "form": form,
        "page": page,
        "has_kinds": bool(form.fields["kinds"].queryset),  # type: ignore[attr-defined]
        "files": reverse("builds:design_sheets", args=[design.code]),
        "query": _query(request),
    }
    return render(request, "batches/design.html", context, status=status)


def _query(request: HttpRequest) -> str:
    """What the address asked for, to ask files for the same plan."""
    asked = request.GET.copy()
    asked.pop("page", None)
    return f"?{asked.urlencode()}" if asked else ""
