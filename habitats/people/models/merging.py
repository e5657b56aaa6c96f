"""Two accounts of one person become one; the other can no longer log in."""

from collections.abc import Mapping

from django.db import transaction
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from habitats.common.merging import (
    DOUBLE,
    CannotMerge,
    ContraryFact,
    MergeRules,
    contrary_facts,
    move_relations,
    take_facts,
)
from habitats.people.models.people import Person

_OF_THE_ACCOUNT = (
    "id",
    "password",
    "last_login",
    "is_superuser",
    "is_staff",
    "is_active",
    "date_joined",
    "username",
    "has_first_password",
    "same_as",
    "units",
    "paper",
    "language",
    "role",
)
RULES = MergeRules(
    left=frozenset(_OF_THE_ACCOUNT),
    labels={
        "first_name": gettext_lazy("First name"),
        "last_name": gettext_lazy("Last name"),
        "email": gettext_lazy("Email"),
        "role": gettext_lazy("Role"),
    },
)


def contrary(kept: Person, double: Person, by: Person) -> list[ContraryFact]:
    if kept.pk == double.pk:
        raise CannotMerge(_("This is the same record. Choose another one."))
    if double.pk == by.pk:
        raise CannotMerge(_("That is your own account. Keep it, and merge the other one into it."))
    found = contrary_facts(kept, double, RULES)
    if kept.role != double.role:
        roles = (kept.get_role_display(), double.get_role_display())
        found.append(ContraryFact("role", _("Role"), *roles))
    return found


def merge(kept: Person, double: Person, chosen: Mapping[str, str], *, by: Person) -> None:
    """One account, with the log-in of the kept one. Raises ``CannotMerge``."""
    with transaction.atomic():
        locked = Person.objects.select_for_update().filter(pk__in=(kept.pk, double.pk))
        if locked.order_by("pk").filter(same_as__isnull=True).count() < 2:
            raise CannotMerge(_("One of them was merged already."))
        if {one.key for one in contrary(kept, double, by)} - set(chosen):
            raise CannotMerge(_("Choose one of the two for each fact."))
        take_facts(kept, double, RULES, chosen)
        if chosen.get("role") == DOUBLE:
            kept.role = double.role
        if kept.pk == by.pk and not kept.is_coordinator:
            raise CannotMerge(_("You would lose your own role. Keep it as coordinator."))
        double.same_as, double.is_active = kept, False
        double.set_unusable_password()
        double.save()
        kept.save()
        move_relations(kept, double)
