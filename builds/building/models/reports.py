"""Kinds of reports on a build: most are empty, so one question tells which are there."""

from datetime import date
from typing import Any

from django.db.models import QuerySet, Value

from builds.building.models.build_days import BuildDay
from builds.building.models.inspections import Inspection, Repair
from builds.building.models.panel_reports import PanelReport
from builds.plans.models.build_acts import BuildNote, BuildPhoto, Overtaken, Shortage, StrayAct
from builds.plans.models.builds import Build
from habitats.common.written import given, written
from habitats.people.models.people import Person

KINDS: tuple[Any, ...] = (
    BuildDay,
    BuildNote,
    BuildPhoto,
    Inspection,
    Overtaken,
    PanelReport,
    Repair,
    Shortage,
    StrayAct,
)


def kinds_on(build: Build, reader: Person, today: date) -> set[type[Any]]:
    """Those of which there is any: build days from today on, panel reports that nobody answered,
    and of words that were overtaken those that this reader has not read.
    """
    return {KINDS[number] for (number,) in _THERE(build=build, reader=reader, today=today)}


def _there() -> "QuerySet[Any, Any]":
    build = given("build", Build)
    late = Overtaken.objects.unread_by(given("reader", Person)).filter(tick__build=build)
    some = {
        BuildDay: BuildDay.objects.filter(build=build, on__gte=given("today", date)),
        Overtaken: late.select_related(None),
        PanelReport: PanelReport.objects.filter(build=build, answered_at__isnull=True),
    }
    asked = [
        (some[kind] if kind in some else kind._default_manager.filter(build=build))
        .order_by()
        .annotate(of=Value(number))
        .values_list("of")
        for number, kind in enumerate(KINDS)
    ]
    return asked[0].union(*asked[1:])  # without all: each kind once


_THERE = written(_there)
