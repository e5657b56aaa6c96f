"""Traces: mark what is suspected, work through what it met, print it, say that it is over."""

from datetime import date

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.template.loader import render_to_string
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from habitats.common.addresses import address_of
from habitats.common.page import PrintedPage
from habitats.common.pdf import pdf_from
from habitats.common.public_address import public_address
from habitats.common.sent import UNPROCESSABLE, form_page, sent_with
from habitats.linens.models.linens import InvalidTransition
from habitats.people.access import coordinator_or_403, member_or_403
from habitats.people.models.people import Person
from habitats.people.views.based_on import accepted, based_on, row_of
from habitats.rescue.models.rescue import Rescue
from habitats.rotation.infection import WASHING_ADVICE
from habitats.rotation.trace_actions import (
    ORDER_OF_WORK,
    VET_FIRST,
    WHAT_IS_NOT_KNOWN,
    sources_for,
    washing_words,
)
from habitats.traces.forms import (
    CloseTraceForm,
    NewTraceForm,
    ReopenTraceForm,
    SetAsideForm,
    TickForm,
)
from habitats.traces.models import facts
from habitats.traces.models.traces import Trace
from habitats.traces.models.tracing import set_aside
from habitats.traces.pages.notes import suspect_names
from habitats.traces.pages.sheet import Sheet, sheet_of

TRACES_A_PAGE = 50
COORDINATOR, _BUILDER, FOSTER, LAUNDRY = Person.Role
STYLE_SHEETS = ("css/print.css", "css/traces-print.css")


@require_GET
def traces(request: HttpRequest) -> HttpResponse:
    member_or_403(request, LAUNDRY)
    shows_closed = request.GET.get("shown") == "closed"
    found = Trace.objects.closed() if shows_closed else Trace.objects.open()
    pages = Paginator(found.with_suspect().newest_first(), TRACES_A_PAGE)
    page = pages.get_page(request.GET.get("page"))
    shown = list(page.object_list)
    names = suspect_names(shown)
    context = {
        "page": page,
        "rows": [(one, names[one.pk]) for one in shown],
        "shows_closed": shows_closed,
    }
    return render(request, "traces/traces.html", context)


@require_http_methods(["GET", "POST"])
def new_trace(request: HttpRequest) -> HttpResponse:
    person = coordinator_or_403(request)
    asked = {name: request.GET[name] for name in ("sort", "code") if name in request.GET}
    form = NewTraceForm(sent_with(request), today=timezone.localdate(), initial=asked)
    if request.method == "POST" and form.is_valid():
        trace = form.begin(by=person)
        messages.success(request, _("Contacts listed. Work through them, home by home."))
        return redirect("trace", code=trace.code)
    return form_page(request, "traces/new_trace.html", form=form)


@require_GET
def trace(request: HttpRequest, code: str) -> HttpResponse:
    person = member_or_403(request, FOSTER, LAUNDRY)
    return _trace_page(request, person, _found(code))


@require_GET
def trace_pdf(request: HttpRequest, code: str) -> HttpResponse:
    person = member_or_403(request, FOSTER, LAUNDRY)
    found = _found(code)
    sheet = _sheet_seen_by(person, found)
    context = {
        **_context(found, person, sheet),
        "rescue": Rescue.ours(),
        "paper": person.paper,
        "address": public_address(request, reverse("trace", args=[found.code])),
        "style_sheets": [address_of(path) for path in STYLE_SHEETS],
    }
    pdf = pdf_from(PrintedPage(render_to_string("traces/print.html", context), {}))
    headers = {"Content-Disposition": f'inline; filename="trace-{found.code}.pdf"'}
    return HttpResponse(pdf, content_type="application/pdf", headers=headers)


@require_POST
def tick_trace(request: HttpRequest, code: str) -> HttpResponse:
    """One action done, or not done after all; back to where it stands on the page."""
    person = member_or_403(request, FOSTER, LAUNDRY)
    found = _found(code)
    sheet = _sheet_seen_by(person, found)
    form = TickForm(request.POST)
    box = sheet.box(form.key) if form.is_valid() else None
    if box is None:
        messages.error(
            request, _("This action is no longer on the list. The list below is up to date.")
        )
        return redirect("trace", code=found.code)
    is_done = bool(form.cleaned_data["done"])
    found.tick(box.action.key, is_done, by=person, idempotency_key=form.cleaned_data["once"])
    return redirect(f"{reverse('trace', args=[found.code])}#{box.anchor}")


@require_POST
def set_aside_linens(request: HttpRequest, code: str) -> HttpResponse:
    person = coordinator_or_403(request)
    found, today = _found(code), timezone.localdate()
    sheet, form = _sheet_seen_by(person, found), SetAsideForm(request.POST)
    if not form.is_valid() or found.ended():
        return redirect("trace", code=found.code)
    linens = [*sheet.at_rest, *(sheet.in_use if form.cleaned_data["in_use"] else ())]
    try:
        count = set_aside(
            found, linens, today, by=person, idempotency_key=form.cleaned_data["once"]
        )
    except InvalidTransition as reason:
        messages.error(request, str(reason))
    else:
        done = ngettext(
            "%(count)d linen set aside. Put it into a closed bag.",
            "%(count)d linens set aside. Put them into closed bags.",
            count,
        )
        messages.success(request, done % {"count": count})
    return redirect("trace", code=found.code)


@require_POST
@based_on(row_of(Trace), facts.ended)
def close_trace(request: HttpRequest, code: str) -> HttpResponse:
    person = coordinator_or_403(request)
    found = _found(code)
    form = CloseTraceForm(request.POST, trace=found, today=timezone.localdate())
    if not accepted(request, form):
        return _trace_page(request, person, found, closing=form)
    given = form.cleaned_data
    found.close(given["on"], given["reason"], by=person, idempotency_key=given["once"])
    messages.success(
        request, _("Trace closed. Linens stay set aside until their washes release them.")
    )
    return redirect("trace", code=found.code)


@require_POST
@based_on(row_of(Trace), facts.ended)
def reopen_trace(request: HttpRequest, code: str) -> HttpResponse:
    person = coordinator_or_403(request)
    found = _found(code)
    form = ReopenTraceForm(request.POST)
    if not accepted(request, form):
        return _trace_page(request, person, found, reopening=form)
    given = form.cleaned_data
    found.reopen(given["reason"], by=person, idempotency_key=given["once"])
    messages.success(request, _("Trace reopened. Contacts in the meantime are listed, too."))
    return redirect("trace", code=found.code)


def _found(code: str) -> Trace:
    return get_object_or_404(Trace.objects.with_suspect(), code=code.upper())


def _sheet_seen_by(person: Person, found: Trace) -> Sheet:
    """Who sees nothing of a trace is told of no such page."""
    ended = found.ended()
    sheet = sheet_of(found, person, ended.on if ended and ended.on else timezone.localdate())
    if not sheet.sections and not person.has_role(COORDINATOR, LAUNDRY):
        raise Http404(_("Nothing of this trace is in your home."))
    return sheet


def _context(found: Trace, person: Person, sheet: Sheet) -> dict[str, object]:
    cares_for_animals = person.has_role(COORDINATOR, FOSTER)
    return {
        "trace": found,
        "suspect": suspect_names([found])[found.pk] if person.is_coordinator else "",
        "suspicion": found.suspected.words,
        "sheet": sheet,
        "ended": found.ended(),
        "today": timezone.localdate(),
        "washing": washing_words(found.suspected),
        "sources": sources_for(found.suspected),
        "cautions": (VET_FIRST, ORDER_OF_WORK) if cares_for_animals else (VET_FIRST,),
        "washing_advice": WASHING_ADVICE,
        "not_known": WHAT_IS_NOT_KNOWN,
    }


def _trace_page(
    request: HttpRequest,
    person: Person,
    found: Trace,
    *,
    closing: CloseTraceForm | None = None,
    reopening: ReopenTraceForm | None = None,
) -> HttpResponse:
    today: date = timezone.localdate()
    context = {
        **_context(found, person, _sheet_seen_by(person, found)),
        "ticking": TickForm(),
        "setting_aside": SetAsideForm(),
        "closing": closing or CloseTraceForm(trace=found, today=today),
        "reopening": reopening or ReopenTraceForm(),
        "history": found.ends.select_related("made_by").order_by("pk"),
    }
    status = UNPROCESSABLE if closing or reopening else 200
    return render(request, "traces/trace.html", context, status=status)
