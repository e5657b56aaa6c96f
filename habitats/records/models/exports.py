"""All that is remembered of homes, animals and linens: tables and design files in one archive.

Rows are read and written one after the other, so that memory does not grow with them. What can be
imported has the same columns as its import, with the same words in them.
"""

import json
from collections.abc import Iterable, Iterator, Sequence
from typing import Any, BinaryIO
from zipfile import ZIP_DEFLATED, ZipFile

from django.db import models

from habitats.animals.models.animals import Animal, Weighing, WeighingStrike
from habitats.animals.models.births import Birth
from habitats.animals.models.climbing import ClimbingBan
from habitats.animals.models.groups import Group, Membership, Override
from habitats.animals.models.quarantines import Quarantine
from habitats.animals.models.stays import Stay
from habitats.csv_cells import csv_lines
from habitats.designs.models.designs import Design, DesignRevision
from habitats.enclosures.models.enclosures import Enclosure, EnclosureEvent
from habitats.enclosures.models.parts import Component, ComponentCheck
from habitats.enclosures.models.standing import Standing
from habitats.faults.models.faults import Fault
from habitats.faults.models.safety_checks import SafetyCheck
from habitats.homes.models.absences import Absence
from habitats.homes.models.homes import Home, HomeContact
from habitats.imports import KINDS
from habitats.imports.contacts import CONTACT
from habitats.people.models.people import Person
from habitats.records.models.adoption_tables import ADOPTION_TABLES
from habitats.records.models.health_tables import HEALTH_TABLES
from habitats.records.models.linen_tables import LINEN_TABLES
from habitats.records.models.tables import AT_ONCE, Rows, TableOf, kept, plain, same, span, table_of
from habitats.rescue.models.rescue import Rescue
from habitats.wording import listed, message

COMPRESSION = 6


def write_archive(target: BinaryIO) -> None:
    """Write the ZIP archive: a table a noun, designs as files of their own, and what is what."""
    with ZipFile(target, "w", ZIP_DEFLATED, compresslevel=COMPRESSION) as archive:
        archive.writestr("read-me.txt", _read_me())
        for table in TABLES:
            _write(archive, f"{table.name}.csv", csv_lines(_with_head(table)))
        _write(archive, "rescue.json", [_json(_rescue())])
        for name, document in _designs():
            archive.writestr(f"designs/{name}.json", _json(document))


def _write(archive: ZipFile, name: str, lines: Iterable[str]) -> None:
    # force_zip64: how long it will be is not known when it is begun.
    with archive.open(name, "w", force_zip64=True) as file:
        for line in lines:
            file.write(line.encode())


def _with_head(table: TableOf) -> Iterator[Iterable[object]]:
    yield table.columns
    yield from table.rows()


def _read_me() -> str:
    """In English, as the names of files and columns are that it explains."""
    lines = [f"{table.name}.csv  {table.about}" for table in TABLES]
    lines += ["rescue.json  The settings: space standards and figures.", _DESIGNS]
    lines += ["", f"Not included: {listed(NOT_IN_IT)}."]
    return "\r\n".join([_HEADING, "", *lines, ""])


_HEADING = (
    "Tables are CSV in UTF-8, separated by commas; days are year-month-day. homes.csv, "
    "contacts.csv, enclosures.csv, animals.csv and weights.csv can be imported again. A cell that "
    "begins like a formula has an apostrophe before it."
)
# What the archive does not have, in words, for those who rely on it.
NOT_IN_IT = (
    message("builds with their steps and history"),
    message("kits"),
    message("batches and cutting plans"),
    message("the store and its suppliers"),
    message("alterations"),
    message("contact tracing"),
    message("calendar addresses"),
    message("log-ins and second factors"),
    message("undone entries with their reasons"),
    message("photos"),
)
_DESIGNS = (
    "designs/  Each design as an enclosure-design/1 file, by its code; earlier revisions that "
    "enclosures were built from have their number beside it."
)


def _rescue() -> dict[str, Any]:
    rescue = Rescue.ours()
    return {
        field.name: getattr(rescue, field.name)
        for field in Rescue._meta.concrete_fields
        if field.name != "id"
    }


def _designs() -> Iterator[tuple[str, Any]]:
    """Each design as it is drawn today, and earlier revisions that something was built from."""
    for design in Design.objects.select_related("current").order_by("pk").iterator(AT_ONCE):
        if design.current:
            yield design.code, design.current.document
    built = DesignRevision.objects.filter(enclosures__isnull=False).distinct()
    earlier = built.exclude(pk=models.F("design__current")).select_related("design")
    for revision in earlier.order_by("pk").iterator(AT_ONCE):
        yield f"{revision.design.code}-revision-{revision.number}", revision.document


def _json(document: Any) -> str:
    return json.dumps(document, ensure_ascii=False, indent=2, default=str) + "\n"


# --- Tables that can be imported again ---


def _homes() -> Rows:
    at = _HOME_COLUMNS.index("known_species")
    for row in Home.objects.order_by("pk").values_list(*_HOME_COLUMNS).iterator(AT_ONCE):
        cells = [plain(value) for value in row]
        cells[at] = str(cells[at]).replace("_", " ")
        yield cells


def _animals() -> Rows:
    names = KINDS["animals"].names
    fields = ["mother__code" if name == "mother" else name for name in names]
    at = names.index("species")
    for row in Animal.objects.order_by("pk").values_list(*fields).iterator(AT_ONCE):
        cells = [plain(value) for value in row]
        cells[at] = str(cells[at]).replace("_", " ")
        yield cells


def _enclosures() -> Rows:
    last = EnclosureEvent.objects.filter(enclosure=models.OuterRef("pk")).order_by("-pk")
    stands = Standing.objects.filter(enclosure=models.OuterRef("pk"), until__isnull=True)
    rows = (
        Enclosure.objects.with_state()
        .annotate(
            since=models.functions.Coalesce(
                models.Subquery(last.values("on")[:1]), models.functions.TruncDate("made_at")
            ),
            home=models.Subquery(stands.values("home__code")[:1]),
            stands_since=models.Subquery(stands.values("since")[:1]),
        )
        .order_by("pk")
    )
    fields = {"design": "revision__design__code", "revision": "revision__number"}
    names = [fields.get(name, name) for name in KINDS["enclosures"].names]
    return iter(rows.values_list(*names).iterator(AT_ONCE))


_HOME_COLUMNS = tuple(one.name for one in KINDS["homes"].offered if one.name not in CONTACT)
_WEIGHING = {"animal": "animal__code", "day": "on", "grams": "grams", "note": "note"}

TABLES: Sequence[TableOf] = (
    TableOf("homes", message("The homes where enclosures stand."), _HOME_COLUMNS, _homes),
    table_of(
        "contacts",
        message("How to reach homes. Keep this file where only coordinators can open it."),
        HomeContact.objects.all(),
        {"home": "home__code", "home_name": "home__name", **same(*CONTACT)},
    ),
    table_of(
        "home-people",
        message("Which person looks after which home."),
        Home.people.through.objects.all(),
        {"home": "home__code", "log_in": "person__username"},
    ),
    table_of(
        "absences",
        message("Days on which the people of a home are away, and who covers."),
        Absence.objects.all(),
        {
            "home": "home__code",
            **same("first_day", "last_day", "covered_by"),
            "back_on": "end__back_on",
            **kept(),
        },
    ),
    TableOf(
        "animals",
        message("All animals, including those that left."),
        KINDS["animals"].names,
        _animals,
    ),
    table_of("weights", message("Weights of animals."), Weighing.objects.standing(), _WEIGHING),
    table_of(
        "struck-weights",
        message("Weights that were marked as wrong."),
        WeighingStrike.objects.all(),
        {
            **{column: f"weighing__{field}" for column, field in _WEIGHING.items()},
            "why": "why",
            **kept(),
        },
    ),
    table_of(
        "births",
        message("Litters."),
        Birth.objects.all(),
        {"mother": "mother__code", "day": "on", **same("young", "stillborn", "note"), **kept()},
    ),
    table_of(
        "quarantines",
        message("Animals in quarantine. The last row of each animal counts."),
        Quarantine.objects.all(),
        {
            "animal": "animal__code",
            **same("since", "until", "why", "note", "together"),
            **kept(),
        },
    ),
    table_of(
        "climbing-bans",
        message("Animals that must not climb, in the vet's words. The last row of each counts."),
        ClimbingBan.objects.all(),
        {"animal": "animal__code", **same("since", "until", "said_by", "words"), **kept()},
    ),
    table_of(
        "groups",
        message("Groups: animals that live together."),
        Group.objects.all(),
        {**same("code", "name", "species", "notes"), **kept()},
    ),
    table_of(
        "memberships",
        message("Which animal was in which group, and when."),
        Membership.objects.all(),
        span(group="group__code", animal="animal__code"),
    ),
    table_of(
        "stays",
        message("Which group was in which enclosure, and when."),
        Stay.objects.all(),
        span(group="group__code", enclosure="enclosure__code"),
    ),
    TableOf(
        "enclosures",
        message("Enclosures, each built from a design."),
        KINDS["enclosures"].names,
        _enclosures,
    ),
    table_of(
        "standings",
        message("Which enclosure stood in which home, and when."),
        Standing.objects.all(),
        span(enclosure="enclosure__code", home="home__code"),
    ),
    table_of(
        "states",
        message("States of each enclosure."),
        EnclosureEvent.objects.all(),
        {
            "enclosure": "enclosure__code",
            "state": "state",
            "day": "on",
            **same("begun_at", "ended_at"),
            "note": "note",
            **kept(),
        },
    ),
    table_of(
        "components",
        message("Components of enclosures."),
        Component.objects.all(),
        {"enclosure": "enclosure__code", **same("kind", "count", "fitted_on")},
    ),
    table_of(
        "component-checks",
        message("Checks of components."),
        ComponentCheck.objects.all(),
        {
            "enclosure": "component__enclosure__code",
            "kind": "component__kind",
            "condition": "condition",
            "day": "on",
            "note": "note",
            **kept(),
        },
    ),
    table_of(
        "faults",
        message("Faults of enclosures: how urgent they were, and when they were mended."),
        Fault.objects.all(),
        {
            "enclosure": "enclosure__code",
            **same("kind", "urgency", "note", "z", "x_mm", "y_mm"),
            "day": "on",
            "mended_on": "mended__on",
            "mended_how": "mended__note",
            **kept(),
        },
    ),
    table_of(
        "looks",
        message("Safety checks of enclosures."),
        SafetyCheck.objects.all(),
        {"enclosure": "enclosure__code", "day": "on", "answers": "answers", **kept()},
    ),
    table_of(
        "overrides",
        message("Warnings about groups that were overridden, and the reasons."),
        Override.objects.all(),
        {
            "group": "group__code",
            **same("key", "sentence", "reason", "is_block", "confirmed"),
            **kept(),
        },
    ),
    *HEALTH_TABLES,
    *ADOPTION_TABLES,
    *LINEN_TABLES,
    table_of(
        "people",
        message("People who can log in, without passwords."),
        Person.objects.all(),
        {
            "log_in": "username",
            **same("first_name", "last_name", "email"),
            "role": "roles",
            **same("is_active", "units", "paper"),
        },
    ),
)
