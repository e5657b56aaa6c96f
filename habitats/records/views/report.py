"""The inspection report: on a day, each enclosure, who lived there, and clause by clause."""

from collections.abc import Iterator
from datetime import date
from decimal import Decimal
from itertools import groupby
from typing import NamedTuple

from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse, StreamingHttpResponse
from django.shortcuts import render
from django.template.loader import render_to_string
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET

from habitats.animals.models.animals import Animal
from habitats.animals.pages.words import about
from habitats.common.addresses import address_of
from habitats.common.page import PrintedPage
from habitats.common.pdf import pdf_from
from habitats.csv_cells import csv_lines
from habitats.enclosures.models.standing import StandingQuerySet
from habitats.homes.models.homes import Home
from habitats.measures import MM2_PER_CM2, grams
from habitats.people.access import coordinator_or_403
from habitats.people.models.people import Person
from habitats.records.forms.report import ReportForm
from habitats.records.models.inspections import Inspected, inspected, standing_on
from habitats.rescue.models.rescue import Rescue
from habitats.rescue.pages.verdicts import VerdictCard, card_of
from habitats.welfare.companion import Companion, DatedWeight
from habitats.welfare.outgrowing import residents_on
from habitats.welfare.space import ANIMAL_WORDS, GENERAL_CAUTIONS
from habitats.welfare.values import Amount, Resident, Species, Unit
from habitats.welfare.words import day_words

ON_A_PAGE = 30
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
)


class ReportAnimal(NamedTuple):
    """``is_estimate``: the weight was not read on a scale that day but estimated from the last."""

    name: str
    code: str
    about: str
    grams: int | None
    weighed: str
    is_estimate: bool


class ReportEntry(NamedTuple):
    inspected: Inspected
    animals: list[ReportAnimal]
    card: VerdictCard | None
    why_not: str


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
        "entries": _entries(standing.filter(pk__in=keys), day, coordinator),
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
    rows = (row for one in inspected(standing, day) for row in _csv_rows(one, day))
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


def _query(request: HttpRequest) -> str:
    """What was asked, without the page, for links."""
    asked = request.GET.copy()
    asked.pop("page", None)
    return asked.urlencode()


def _page(standing: StandingQuerySet, day: date, form: ReportForm, person: Person) -> PrintedPage:
    entries = _entries(standing, day, person)
    context = {
        "homes": [
            (home, list(found))
            for home, found in groupby(entries, key=lambda entry: entry.inspected.home)
        ],
        "count": len(entries),
        "animals": sum(len(entry.animals) for entry in entries),
        "short": sum(_is_short(entry) for entry in entries),
        "day_words": day_words(day),
        "printed_on": day_words(timezone.localdate()),
        "area": form.cleaned_data["area"],
        "rescue": Rescue.ours(),
        "paper": person.paper,
        "units": person.units,
        "cautions": GENERAL_CAUTIONS,
        "style_sheets": [address_of(path) for path in STYLE_SHEETS],
    }
    return PrintedPage(render_to_string("records/report_print.html", context), {})


def _is_short(entry: ReportEntry) -> bool:
    return entry.card is not None and entry.card.verdict.passes is False


def _entries(standing: StandingQuerySet, day: date, person: Person) -> list[ReportEntry]:
    return [_entry(one, day, person.units) for one in inspected(standing, day)]


def _entry(one: Inspected, day: date, units: str) -> ReportEntry:
    card = card_of(one.rules, one.verdict, units) if one.rules and one.verdict else None
    residents = residents_on(one.companions, day)
    pairs = zip(one.animals, one.companions, residents, strict=True)
    return ReportEntry(one, [_animal(*each, day) for each in pairs], card, _why_not(one))


def _animal(animal: Animal, companion: Companion, resident: Resident, day: date) -> ReportAnimal:
    last = companion.weighed_by(day)
    return ReportAnimal(
        name=animal.name,
        code=animal.code,
        about=about(animal),
        grams=resident.weight_g,
        weighed=_weighed(last),
        is_estimate=last is None or last.grams != resident.weight_g,
    )


def _weighed(last: DatedWeight | None) -> str:
    if last is None:
        return _("never weighed")
    values = {"weight": grams(last.grams), "day": day_words(last.day)}
    return _("%(weight)s on %(day)s") % values


def _why_not(one: Inspected) -> str:
    """Why there is no verdict; empty where there is one."""
    if one.verdict:
        return ""
    if not one.animals:
        return _("No animals lived here on that day.")
    if one.structure is None:
        return _("The design is too large for this server now, so it was not checked.")
    if one.rules is None:
        many = ANIMAL_WORDS[Species(one.animals[0].species)][1]
        return _("No space standard is chosen for %(animals)s. Choose one in Settings.") % {
            "animals": many
        }
    return _("Animals of two species live together, and no space standard covers them.")


def _with_head(rows: Iterator[tuple[object, ...]]) -> Iterator[tuple[object, ...]]:
    yield COLUMNS
    yield from rows


def _csv_rows(one: Inspected, day: date) -> Iterator[tuple[object, ...]]:
    """A row a clause; an enclosure that is not checked has one row without.

    Rows are made while the file is sent, when its reader is forgotten: their words are English,
    as the names of their columns are.
    """
    first = (
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
    if one.rules is None or one.verdict is None:
        yield (*first, *("",) * (len(COLUMNS) - len(first)))
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
        )


def _counted(amount: Amount) -> tuple[str, str]:
    """A number and its unit, areas in cm²."""
    if amount.unit is Unit.MM2:
        return _cm2(amount.value), "cm2"
    return str(amount.value), amount.unit.value


def _cm2(area_mm2: int | None) -> str:
    """Exact, with as many places as it takes; empty if it is not known."""
    return "" if area_mm2 is None else f"{Decimal(area_mm2) / MM2_PER_CM2:f}"


def _names(one: Inspected, day: date) -> str:
    residents = residents_on(one.companions, day)
    return "; ".join(
        f"{animal.name} ({animal.code}, {resident.weight_g} g)"
        if resident.weight_g
        else f"{animal.name} ({animal.code}, weight not known)"
        for animal, resident in zip(one.animals, residents, strict=True)
    )


def _yes_no(answer: bool | None) -> str:
    return "unknown" if answer is None else "yes" if answer else "no"
