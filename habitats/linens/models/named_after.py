"""Pools that are called after somebody who is to be erased."""

from django.urls import reverse
from django.utils.translation import gettext as _

from habitats.linens.models.pools import Pool
from habitats.people.models.named_after import NamedAfter, NameSearch


def pools_named_after(sender: object, names: NameSearch, **_more: object) -> list[NamedAfter]:
    """For ``named_after_asked``."""
    return [
        NamedAfter(_("Linen pool"), one.name, reverse("edit_pool", args=[one.code]))
        for one in Pool.objects.filter(names.within("name")).by_name()
        if names.stands_in(one.name)
    ]
