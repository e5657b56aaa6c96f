"""Linens in the archive: what they are made of, where each one is, and all that happened to it."""

from collections.abc import Sequence

from habitats.linens.models.changes import LinenChange, LinenRemark, SpotClean
from habitats.linens.models.linens import Linen, LinenEvent, LinenKind
from habitats.linens.models.loads import Load
from habitats.linens.models.pools import Pool, Programme
from habitats.linens.models.shrinkage import ShrinkTest
from habitats.linens.models.spots import ChangePlan, Spot
from habitats.records.models.tables import TableOf, kept, same, table_of
from habitats.wording import message

_SIZE = {"sort": "size__sort", "width_mm": "size__width_mm", "length_mm": "size__length_mm"}
_PLACE = {"enclosure": "spot__enclosure__code", "place": "spot__name"}

LINEN_TABLES: Sequence[TableOf] = (
    table_of(
        "linen-kinds",
        message("Kinds of linen. Shrinkage is in tenths of a percent."),
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
        message("Linens that were measured before and after their first wash."),
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
        message("Pools of linens, one laundry each. Wash days are bits; Monday is the lowest."),
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
        message("Washing programmes of the pools."),
        Programme.objects.all(),
        {"pool": "pool__code", **same("name", "temperature_c", "minutes", "put_away_on")},
    ),
    table_of(
        "places",
        message("Places for linens in enclosures, and the size that each needs."),
        Spot.objects.all(),
        {"enclosure": "enclosure__code", "place": "name", **_SIZE, **same("is_lined", "gone_on")},
    ),
    table_of(
        "change-plans",
        message("Enclosures with an interval of their own for linen changes."),
        ChangePlan.objects.all(),
        {"enclosure": "enclosure__code", **same("interval_days")},
    ),
    table_of(
        "linens",
        message("Each linen by its label, in its last state."),
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
        message("The history of each linen."),
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
        message("Changes of linens, by place."),
        LinenChange.objects.all(),
        {**_PLACE, "day": "on", **kept()},
    ),
    table_of(
        "linen-remarks",
        message("Linens that were scanned in an unexpected place."),
        LinenRemark.objects.all(),
        {"linen": "linen__label", **_PLACE, "day": "on", "note": "note", **kept()},
    ),
    table_of(
        "spot-cleans",
        message("Spot cleans of enclosures."),
        SpotClean.objects.all(),
        {"enclosure": "enclosure__code", "day": "on", **kept()},
    ),
    table_of(
        "loads",
        message("Loads of the washing machines."),
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
