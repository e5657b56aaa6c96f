"""Two records of one adopter become one, with all adoptions."""

from collections.abc import Mapping

from django.db import transaction
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from habitats.adoptions.models.adopters import Adopter
from habitats.common.merging import (
    ContraryFact,
    MergeRules,
    contrary_facts,
    move_relations,
    note_merge,
    refuse_the_same,
    take_over,
)
from habitats.people.models.people import Person

RULES = MergeRules(
    left=frozenset(("id", "code", "idempotency_key", "made_by", "made_at", "same_as")),
    joined=("notes",),
    labels={
        "name": gettext_lazy("Name"),
        "phone": gettext_lazy("Phone"),
        "email": gettext_lazy("Email"),
        "address": gettext_lazy("Address"),
    },
)


def contrary(kept: Adopter, double: Adopter) -> list[ContraryFact]:
    refuse_the_same(kept, double)
    return contrary_facts(kept, double, RULES)


def merge(kept: Adopter, double: Adopter, chosen: Mapping[str, str], *, by: Person) -> None:
    """The double keeps nothing that names a person: it is erased with the kept one.

    Raises ``CannotMerge``.
    """
    with transaction.atomic():
        take_over(kept, double, RULES, chosen, lambda: contrary(kept, double))
        note_merge(kept, double, by)
        double.same_as, double.name = kept, _("Recorded twice")
        double.phone = double.email = double.address = double.notes = ""
        double.save()
        kept.save()
        move_relations(kept, double)
