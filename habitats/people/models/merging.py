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
    refuse_the_same,
    take_over,
)
from habitats.people.models.ending import end_all
from habitats.people.models.people import Person
from habitats.people.models.second_factor import remove

_OF_THE_ACCOUNT = (
    "id",
    "password",
    "last_login",
    "is_superuser",
    "is_staff",
    "is_active",
    "date_joined",
    "username",
    "first_password_at",
    "is_on_slip",
    "erased_on",
    "same_as",
    "units",
    "paper",
    "language",
    "roles",
)
RULES = MergeRules(
    left=frozenset(_OF_THE_ACCOUNT),
    labels={
        "first_name": gettext_lazy("First name"),
        "last_name": gettext_lazy("Last name"),
        "email": gettext_lazy("Email"),
        "roles": gettext_lazy("Roles"),
    },
)


def contrary(kept: Person, double: Person, by: Person) -> list[ContraryFact]:
    refuse_the_same(kept, double)
    if double.pk == by.pk:
        raise CannotMerge(_("That is your own account. Keep it, and merge the other one into it."))
    found = contrary_facts(kept, double, RULES)
    if kept.roles != double.roles:
        roles = (kept.get_roles_display(), double.get_roles_display())
        found.append(ContraryFact("roles", _("Roles"), *roles))
    return found


def cautions(kept: Person, double: Person) -> list[str]:
    """Where one of the accounts was deactivated, and the other was not."""
    if kept.is_active and not double.is_active:
        words = _(
            "%(double)s is deactivated, and %(kept)s is not: what it may see and do is then of an "
            "account that is open. Merge them only if this person may log in."
        )
    elif double.is_active and not kept.is_active:
        words = _(
            "%(kept)s is deactivated, and stays so: nobody can log in with either account then. "
            "Keep the other record instead, or reactivate this one first."
        )
    else:
        return []
    return [words % {"kept": kept.username, "double": double.username}]


def merge(kept: Person, double: Person, chosen: Mapping[str, str], *, by: Person) -> None:
    """One account, with the log-in of the kept one. Raises ``CannotMerge``."""
    with transaction.atomic():
        take_over(kept, double, RULES, chosen, lambda: contrary(kept, double, by))
        if chosen.get("roles") == DOUBLE:
            kept.roles = double.roles
        if kept.pk == by.pk and not kept.is_coordinator:
            raise CannotMerge(_("You would lose your own role. Keep it as coordinator."))
        double.same_as, double.is_active = kept, False
        double.set_unusable_password()
        double.save()
        kept.save()
        # The other log-in ends, with all that belongs to it alone.
        end_all(double)
        remove(double)
        move_relations(kept, double)
