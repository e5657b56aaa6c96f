"""Tables of the archive about bonding and adoptions."""

from collections.abc import Sequence

from habitats.adoptions.models.adopters import Adopter
from habitats.adoptions.models.adoptions import (
    AdoptedAnimal,
    Adoption,
    AdoptionEvent,
    AdoptionOverride,
)
from habitats.adoptions.models.deaths import AdopterDeath
from habitats.adoptions.models.follow_ups import AdoptionFollowUp
from habitats.adoptions.models.fulfilled import WishEvent
from habitats.adoptions.models.home_checks import HomeCheck
from habitats.adoptions.models.wishes import Wish
from habitats.animals.models.bonding import BondingAttempt
from habitats.records.models.tables import TableOf, kept, same, table_of
from habitats.welfare.new_home import CompanyAtHome
from habitats.wording import message

_ADOPTION = {"adoption": "adoption__code"}

ADOPTION_TABLES: Sequence[TableOf] = (
    table_of(
        "bonding-attempts",
        message("Bonding attempts: which two animals met, and how it went."),
        BondingAttempt.objects.all(),
        {
            "one": "one__code",
            "other": "other__code",
            "day": "on",
            **same("outcome", "minutes", "place", "is_neutral", "note"),
            **kept(),
        },
    ),
    table_of(
        "adopters",
        message("Adopters. Keep this file where only coordinators can open it."),
        Adopter.objects.all(),
        {**same("code", "name", "phone", "email", "address", "notes"), **kept()},
    ),
    table_of(
        "adoptions",
        message("Adoptions, by adopter."),
        Adoption.objects.all(),
        {
            "code": "code",
            "adopter": "adopter__code",
            "species": "species",
            **same(*(f"{one}_at_home" for one in CompanyAtHome._fields)),
            "notes": "notes",
            **kept(),
        },
    ),
    table_of(
        "adopted-animals",
        message("Which animal is of which adoption, and until when."),
        AdoptedAnimal.objects.all(),
        {**_ADOPTION, "animal": "animal__code", "ended_on": "ended_on"},
    ),
    table_of(
        "adopter-deaths",
        message("Deaths of adopted animals at the new home; some are marked as wrong since."),
        AdopterDeath.objects.all(),
        {
            "adoption": "adopted__adoption__code",
            "animal": "adopted__animal__code",
            "day": "on",
            "note": "note",
            "marked_as_wrong": "strike__made_at",
            **kept(),
        },
    ),
    table_of(
        "adoption-events",
        message("States and pre-visits of each adoption."),
        AdoptionEvent.objects.all(),
        {**_ADOPTION, **same("state", "visit"), "day": "on", **same("until", "note"), **kept()},
    ),
    table_of(
        "adoption-homes",
        message("Enclosures at new homes. The last row of each adoption counts."),
        HomeCheck.objects.all(),
        {
            **_ADOPTION,
            "day": "on",
            **same("kind", "width_mm", "depth_mm", "height_mm", "upper_mm2"),
            "design": "revision__design__code",
            "revision": "revision__number",
            "note": "note",
            **kept(),
        },
    ),
    table_of(
        "adoption-follow-ups",
        message("Follow-ups of adoptions, and the answers."),
        AdoptionFollowUp.objects.all(),
        {
            **_ADOPTION,
            "day": "on",
            "asked_on": "done__on",
            "answers": "done__note",
            **kept(),
        },
    ),
    table_of(
        "wishes",
        message("The waiting list: what adopters wish for."),
        Wish.objects.all(),
        {
            "adopter": "adopter__code",
            **same(
                "species",
                "number",
                "sex",
                "from_months",
                "to_months",
                "has_company",
                "notes",
                "since",
                "closed_on",
            ),
            **kept(),
        },
    ),
    table_of(
        "wish-events",
        message("Wishes that an adoption fulfilled, or that a return put back on the list."),
        WishEvent.objects.all(),
        {"adopter": "wish__adopter__code", **_ADOPTION, "kind": "kind", "day": "on", **kept()},
    ),
    table_of(
        "adoption-overrides",
        message("Warnings about adoptions that were overridden, and the reasons."),
        AdoptionOverride.objects.all(),
        {
            **_ADOPTION,
            **same("key", "sentence", "reason", "is_block", "confirmed"),
            **kept(),
        },
    ),
)
