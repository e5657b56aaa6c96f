"""Linens in the archive: what they are made of, where each one is, and all that happened to it."""

from collections.abc import Sequence

from habitats.linens.models.changes import LinenChange, LinenRemark, SpotClean
from habitats.linens.models.linens import Linen, LinenEvent, LinenKind
from habitats.linens.models.loads import Load
from habitats.linens.models.pools import Pool, Programme
from habitats.linens.models.shrinkage import ShrinkTest
from habitats.linens.models.spots import ChangePlan, Spot
from habitats.records.models.tables import TableOf, kept, same, table_of

_SIZE = {"sort": "size__sort", "width_mm": "size__width_mm", "length_mm": "size__length_mm"}
_PLACE = {"enclosure": "spot__enclosure__code", "place": "spot__name"}

LINEN_TABLES: Sequence[TableOf] = (
    table_of(
        "linen-kinds",
        "What linens are made of; shrinkages are tenths of a percent.",
        LinenKind.objects.all(),
        same(
            "name",
            "sort",
            "fibre",
            "layers",
            "grams_per_m2",
            "shrink_length",
            "shrink_width",
            "most_washes",
            "put_away_on",
        ),
    ),
    table_of(
        "shrink-tests",
        "Pieces that were measured before and after their first wash.",
        ShrinkTest.objects.all(),
        {
            "kind": "kind__name",
            "linen": "linen__label",
            **same("before_width_mm", "before_length_mm", "after_width_mm", "after_length_mm"),
            "day": "on",
            **kept(),
        },
    ),
    table_of(
        "pools",
        "Linens that go round through one laundry; wash days are bits, Monday the lowest.",
        Pool.objects.all(),
        {
            **same("code", "name"),
            "home": "home__code",
            **same(
                "weekdays",
                "loads_a_day",
                "cotton_g",
                "synthetic_percent",
                "washing_days",
                "drying_days",
                "closed_on",
            ),
        },
    ),
    table_of(
        "programmes",
        "What the machines of the pools run.",
        Programme.objects.all(),
        {"pool": "pool__code", **same("name", "temperature_c", "minutes", "put_away_on")},
    ),
    table_of(
        "places",
        "Where a linen lies in an enclosure, and the size it asks for.",
        Spot.objects.all(),
        {"enclosure": "enclosure__code", "place": "name", **_SIZE, **same("is_lined", "gone_on")},
    ),
    table_of(
        "change-plans",
        "Enclosures whose linens are changed as somebody set by hand.",
        ChangePlan.objects.all(),
        {"enclosure": "enclosure__code", **same("interval_days")},
    ),
    table_of(
        "linens",
        "Each linen by its label, as the last event left it.",
        Linen.objects.all(),
        {
            "label": "label",
            "kind": "kind__name",
            **_SIZE,
            **same("cut_width_mm", "cut_length_mm", "state", "since"),
            "pool": "pool__code",
            **_PLACE,
            **same("washes", "suspicion"),
            **kept(),
        },
    ),
    table_of(
        "linen-events",
        "What happened to each linen.",
        LinenEvent.objects.all(),
        {
            "linen": "linen__label",
            "state": "state",
            "day": "on",
            "pool": "pool__code",
            **_PLACE,
            "load": "load__code",
            **same("washes", "suspicion", "note"),
            **kept(),
        },
    ),
    table_of(
        "linen-changes",
        "When the linen of a place was changed.",
        LinenChange.objects.all(),
        {**_PLACE, "day": "on", **kept()},
    ),
    table_of(
        "linen-remarks",
        "Linens that were scanned where they are not said to be.",
        LinenRemark.objects.all(),
        {"linen": "linen__label", **_PLACE, "day": "on", "note": "note", **kept()},
    ),
    table_of(
        "spot-cleans",
        "When somebody picked up and wiped.",
        SpotClean.objects.all(),
        {"enclosure": "enclosure__code", "day": "on", **kept()},
    ),
    table_of(
        "loads",
        "Fillings of the machines.",
        Load.objects.all(),
        {
            "code": "code",
            "pool": "pool__code",
            "programme": "programme__name",
            "temperature_c": "programme__temperature_c",
            "minutes": "programme__minutes",
            "day": "on",
            **same("grams", "suspicion", "in_a_row"),
            **kept(),
        },
    ),
)
