"""Builds that are called after somebody who is to be erased, and kits for them."""

from django.urls import reverse
from django.utils.translation import gettext as _

from builds.plans.models.builds import Build
from habitats.people.models.named_after import NamedAfter, NameSearch


def builds_named_after(sender: object, names: NameSearch, **_more: object) -> list[NamedAfter]:
    """For ``named_after_asked``."""
    found = Build.objects.filter(names.within("name") | names.within("adopter")).order_by("pk")
    return [
        NamedAfter(_("Build"), one.name, reverse("builds:edit_build", args=[one.code]))
        for one in found
        if names.stands_in(one.name) or names.stands_in(one.adopter)
    ]
