"""Two records of one adopter become one, with all adoptions."""

from collections.abc import Mapping

from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from habitats.adoptions.models.adopters import Adopter
from habitats.common.days import in_full
from habitats.common.merging import (
    CannotMerge,
    ContraryFact,
    MergeRules,
    contrary_facts,
    move_relations,
    take_facts,
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
    if kept.pk == double.pk:
        raise CannotMerge(_("This is the same record. Choose another one."))
    return contrary_facts(kept, double, RULES)


def merge(kept: Adopter, double: Adopter, chosen: Mapping[str, str], *, by: Person) -> None:
    """The double keeps nothing that names a person: it is erased with the kept one.

    Raises ``CannotMerge``.
    """
    with transaction.atomic():
        locked = Adopter.objects.select_for_update().filter(pk__in=(kept.pk, double.pk))
        if locked.order_by("pk").filter(same_as__isnull=True).count() < 2:
            raise CannotMerge(_("One of them was merged already."))
        if {one.key for one in contrary(kept, double)} - set(chosen):
            raise CannotMerge(_("Choose one of the two for each fact."))
        take_facts(kept, double, RULES, chosen)
        words = _("Merged with %(code)s on %(day)s by %(person)s.") % {
            "code": double.code,
            "day": in_full(timezone.localdate()),
            "person": by,
        }
        longest = Adopter._meta.get_field("notes").max_length or 0
        kept.notes = f"{words}\n{kept.notes}".strip()[:longest]
        double.same_as, double.name = kept, _("Recorded twice")
        double.phone = double.email = double.address = double.notes = ""
        double.save()
        kept.save()
        move_relations(kept, double)
