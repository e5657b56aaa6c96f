"""The inspection report: on a day, each enclosure, who lived there, and clause by clause."""

from collections.abc import Iterator, Sequence
from datetime import date
from decimal import Decimal
from itertools import chain, groupby

from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse, StreamingHttpResponse
from django.shortcuts import render
from django.template.loader import render_to_string
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET

from habitats.animals.models.animals import Animal
from habitats.common.addresses import address_of
from habitats.common.page import PrintedPage
from habitats.common.pdf import pdf_from
from habitats.csv_cells import csv_lines
from habitats.enclosures.models.standing import StandingQuerySet
from habitats.homes.models.homes import Home
from habitats.measures import MM2_PER_CM2
from habitats.people.access import coordinator_or_403
from habitats.people.models.people import Person
from habitats.records.forms.report import ReportForm
from habitats.records.models.inspected_company import DayGroup, unhoused_on
from habitats.records.models.inspections import Inspected, inspected, standing_on
from habitats.records.pages.report import CompanyRow, entries_of, unhoused_rows
from habitats.rescue.models.rescue import Rescue
from habitats.welfare.companion import Companion
from habitats.welfare.outgrowing import residents_on
from habitats.welfare.space import GENERAL_CAUTIONS
from habitats.welfare.values import Amount, Unit
from habitats.welfare.words import day_words

ON_A_PAGE = 12
MOST_ON_PAPER = 400
STYLE_SHEETS = ("css/print.css", "css/records-print.css")
COLUMNS = (
    "day",
    "home",
    "home_code",
    "area",
    "enclosure",
    "enclosure_code",
    "state",
    "animals",
    "ground_cm2",
    "rule_set",
    "required_cm2",
    "counted_cm2",
    "enough",
    "clause",
    "bound",
    "needed",
    "given",
    "unit",
    "met",
    "source",
    "quarantine",
    "objections",
    "overrides",
    "safety_check",
)


@require_GET
def report(request: HttpRequest) -> HttpResponse:
    coordinator = coordinator_or_403(request)
    form, standing = _asked(request)
    if standing is None:
        return render(request, "records/report.html", {"form": form}, status=422)
    page = Paginator(standing, ON_A_PAGE).get_page(request.GET.get("page"))
    keys = [one.pk for one in page.object_list]
    day = _day(form)
    context = {
        "form": form,
        "day": day,
        "day_words": day_words(day),
        "page": page,
        "entries": entries_of(standing.filter(pk__in=keys), day, coordinator),
        # They end the report, on paper too.
        "unhoused": [] if page.has_next() else _unhoused(form, day, coordinator),
        "is_narrowed": _is_narrowed(form),
        "rescue": Rescue.ours(),
        "query": _query(request),
        "most_on_paper": MOST_ON_PAPER,
        "fits_paper": page.paginator.count <= MOST_ON_PAPER,
    }
    return render(request, "records/report.html", context)


@require_GET
def report_pdf(request: HttpRequest) -> HttpResponse:
    coordinator = coordinator_or_403(request)
    form, standing = _asked(request)
    if standing is None:
        return render(request, "records/report.html", {"form": form}, status=422)
    count = standing.count()
    if count > MOST_ON_PAPER:
        form.add_error(
            None,
            _(
                "%(count)d enclosures are too many for one PDF: %(most)d are allowed. Choose an "
                "area or a home, or download the CSV."
            )
            % {"count": count, "most": MOST_ON_PAPER},
        )
        return render(request, "records/report.html", {"form": form}, status=422)
    day = _day(form)
    pdf = pdf_from(_page(standing, day, form, coordinator))
    headers = {"Content-Disposition": f'inline; filename="inspection-{day.isoformat()}.pdf"'}
    return HttpResponse(pdf, content_type="application/pdf", headers=headers)


@require_GET
def report_csv(request: HttpRequest) -> HttpResponse | StreamingHttpResponse:
    coordinator_or_403(request)
    form, standing = _asked(request)
    if standing is None:
        return render(request, "records/report.html", {"form": form}, status=422)
    day = _day(form)
    rows = chain(
        (row for one in inspected(standing, day) for row in _csv_rows(one, day)),
        () if _is_narrowed(form) else _unhoused_csv_rows(day),
    )
    headers = {"Content-Disposition": f'attachment; filename="inspection-{day.isoformat()}.csv"'}
    return StreamingHttpResponse(
        csv_lines(_with_head(rows)), content_type="text/csv; charset=utf-8", headers=headers
    )


def _asked(request: HttpRequest) -> tuple[ReportForm, StandingQuerySet | None]:
    """The form, and where enclosures stood on its day; None for a form that is refused."""
    today = timezone.localdate()
    asked = request.GET.copy()
    # The field names the day that is told of.
    asked["day"] = asked.get("day") or today.isoformat()
    form = ReportForm(asked, today=today)
    if not form.is_valid():
        return form, None
    home: Home | None = form.cleaned_data["home"]
    found = standing_on(_day(form), area=form.cleaned_data["area"], home=home.code if home else "")
    return form, found


def _day(form: ReportForm) -> date:
    day: date = form.cleaned_data["day"] or timezone.localdate()
    return day


def _unhoused(form: ReportForm, day: date, person: Person) -> list[CompanyRow]:
    """Those in no enclosure; they are in no home, so not where one or an area was chosen."""
    return [] if _is_narrowed(form) else unhoused_rows(day, person)


def _is_narrowed(form: ReportForm) -> bool:
    return bool(form.cleaned_data["area"] or form.cleaned_data["home"])


def _query(request: HttpRequest) -> str:
    """What was asked, without the page, for links."""
    asked = request.GET.copy()
    asked.pop("page", None)
    return asked.urlencode()


def _page(standing: StandingQuerySet, day: date, form: ReportForm, person: Person) -> PrintedPage:
    entries = entries_of(standing, day, person)
    unhoused = _unhoused(form, day, person)
    told = [*(entry.company for entry in entries), *unhoused]
    context = {
        "homes": [
            (home, list(found))
            for home, found in groupby(entries, key=lambda entry: entry.inspected.home)
        ],
        "count": len(entries),
        "animals": sum(len(one.animals) for one in told),
        "apart": sum(bool(animal.apart) for one in told for animal in one.animals),
        "open_blocks": sum(
            one.pairs for group in told for one in group.objections if one.is_open_block
        ),
        "unhoused": unhoused,
        "unhoused_animals": sum(len(one.animals) for one in unhoused),
        "short": sum(entry.is_short for entry in entries),
        "day_words": day_words(day),
        "printed_by": person.name_for(person),
        "printed_on": day_words(timezone.localdate()),
        "area": form.cleaned_data["area"],
        "rescue": Rescue.ours(),
        "paper": person.paper,
        "units": person.units,
        "cautions": GENERAL_CAUTIONS,
        "style_sheets": [address_of(path) for path in STYLE_SHEETS],
    }
    return PrintedPage(render_to_string("records/report_print.html", context), {})


def _with_head(rows: Iterator[tuple[object, ...]]) -> Iterator[tuple[object, ...]]:
    yield COLUMNS
    yield from rows


def _csv_rows(one: Inspected, day: date) -> Iterator[tuple[object, ...]]:
    """A row a clause; an enclosure that is not checked has one row without.

    Rows are made while the file is sent, when its reader is forgotten: their words are English,
    as the names of their columns are.
    """
    first = _of_place(one, day)
    last = (*_of_company(one.group), one.check.on.isoformat() if one.check else "")
    if one.rules is None or one.verdict is None:
        nothing = ("",) * (len(COLUMNS) - len(first) - len(last))
        yield (*first, *nothing, *last)
        return
    verdict = one.verdict
    judged = (
        one.rules.id,
        _cm2(verdict.required_mm2),
        _cm2(verdict.counted_mm2),
        _yes_no(verdict.passes),
    )
    for clause in verdict.clauses:
        needed, unit = _counted(clause.needed)
        given = _counted(clause.given)[0] if clause.given else ""
        yield (
            *first,
            *judged,
            clause.text,
            clause.bound.value,
            needed,
            given,
            unit,
            _yes_no(clause.passes),
            clause.source,
            *last,
        )


def _of_place(one: Inspected, day: date) -> tuple[object, ...]:
    return (
        day.isoformat(),
        one.home.name,
        one.home.code,
        one.home.area,
        one.enclosure.label,
        one.enclosure.code,
        one.state.label if one.state else "",
        _names(one, day),
        _cm2(one.ground_mm2),
    )


def _unhoused_csv_rows(day: date) -> Iterator[tuple[object, ...]]:
    """A row for each group or animal that lived in no enclosure."""
    for one in unhoused_on(day, Rescue.ours()):
        nowhere = ("",) * COLUMNS.index("animals")
        first = (day.isoformat(), *nowhere[1:], _names_of(one.animals, one.companions, day))
        last = (*_of_company(one), "")
        yield (*first, *("",) * (len(COLUMNS) - len(first) - len(last)), *last)


def _of_company(group: DayGroup) -> tuple[str, str, str]:
    """Who was in quarantine, what stood against the group, what was overridden and why."""
    names = {one.code: one.name for one in group.animals}
    apart = (
        f"{names[code]} ({code}), since {span.since.isoformat()}"
        for code, span in group.apart.items()
    )
    against = (
        f"{one.objection.severity.value}: {one.objection.sentence}" for one in group.objections
    )
    overrides = (one.override.reason for one in group.objections if one.override)
    return "; ".join(apart), " ".join(against), "; ".join(overrides)


def _counted(amount: Amount) -> tuple[str, str]:
    """A number and its unit, areas in cm²."""
    if amount.unit is Unit.MM2:
        return _cm2(amount.value), "cm2"
    return str(amount.value), amount.unit.value


def _cm2(area_mm2: int | None) -> str:
    """Exact, with as many places as it takes; empty if it is not known."""
    return "" if area_mm2 is None else f"{Decimal(area_mm2) / MM2_PER_CM2:f}"


def _names(one: Inspected, day: date) -> str:
    return _names_of(one.animals, one.companions, day)


def _names_of(animals: Sequence[Animal], companions: Sequence[Companion], day: date) -> str:
    residents = residents_on(companions, day)
    return "; ".join(
        f"{animal.name} ({animal.code}, {resident.weight_g} g)"
        if resident.weight_g
        else f"{animal.name} ({animal.code}, weight not known)"
        for animal, resident in zip(animals, residents, strict=True)
    )


def _yes_no(answer: bool | None) -> str:
    return "unknown" if answer is None else "yes" if answer else "no"
