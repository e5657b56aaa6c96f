"""Two records of one home become one, with its enclosures, people, linens and builds."""

from collections.abc import Mapping

from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from habitats.common.merging import (
    ContraryFact,
    MergeRules,
    contrary_facts,
    move_relations,
    note_merge,
    refuse_the_same,
    take_facts,
    take_over,
)
from habitats.homes.models.homes import Home, HomeContact
from habitats.people.models.people import Person

_NO_FACTS = ("id", "code", "idempotency_key", "made_by", "made_at", "same_as", "closed_on", "pool")
RULES = MergeRules(
    left=frozenset(_NO_FACTS),
    together=(("largest_width_mm", "largest_depth_mm"),),
    joined=("notes",),
    unique=("own_id",),
    labels={
        "name": gettext_lazy("Name"),
        "area": gettext_lazy("Area"),
        "kind": gettext_lazy("Kind"),
        "own_id": gettext_lazy("Your own number"),
        "most_enclosures": gettext_lazy("Enclosures it can look after"),
        "most_animals": gettext_lazy("Animals it can look after"),
        "isolation_places": gettext_lazy("Isolation places"),
        "known_species": gettext_lazy("Species it has experience with"),
        "pet_kinds": gettext_lazy("Other pets"),
        "largest_width_mm": gettext_lazy("Largest width, in mm"),
        "largest_depth_mm": gettext_lazy("Largest depth, in mm"),
        "other_pets": gettext_lazy("Note on other pets"),
    },
)
CONTACT_RULES = MergeRules(
    left=frozenset(("id", "home")),
    labels={
        "full_name": gettext_lazy("Full name"),
        "phone": gettext_lazy("Phone"),
        "email": gettext_lazy("Email"),
        "address": gettext_lazy("Address"),
    },
)


def contrary(kept: Home, double: Home) -> list[ContraryFact]:
    refuse_the_same(kept, double)
    ours, theirs = _contact(kept), _contact(double)
    return contrary_facts(kept, double, RULES) + contrary_facts(ours, theirs, CONTACT_RULES)


def cautions(kept: Home, double: Home) -> list[str]:
    """Where one of them is closed, and the other is not."""
    if kept.is_closed == double.is_closed:
        return []
    closed = kept if kept.is_closed else double
    words = _("%(home)s (%(code)s) is closed. The home that stays is open, and takes enclosures.")
    return [words % {"home": closed, "code": closed.code}]


def merge(kept: Home, double: Home, chosen: Mapping[str, str], *, by: Person) -> None:
    """One home, called by the code of the kept one; open if one of them is.

    Raises ``CannotMerge``.
    """
    with transaction.atomic():
        take_over(kept, double, RULES, chosen, lambda: contrary(kept, double))
        if kept.pool is None:
            kept.pool = double.pool
        if double.closed_on is None:
            kept.closed_on = None
        note_merge(kept, double, by, name=double)
        _merge_contacts(kept, double, chosen)
        double.same_as = kept
        double.closed_on = double.closed_on or timezone.localdate()
        double.save()
        kept.save()
        move_relations(kept, double)


def _contact(home: Home) -> HomeContact:
    return HomeContact.objects.filter(home=home).first() or HomeContact(home=home)


def _merge_contacts(kept: Home, double: Home, chosen: Mapping[str, str]) -> None:
    ours, theirs = _contact(kept), _contact(double)
    take_facts(ours, theirs, CONTACT_RULES, chosen)
    HomeContact.objects.filter(home=double).delete()
    ours.save()
