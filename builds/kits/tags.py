"""`{% load kit_asks %}`, then `{% kit_asks_due %}`: adopters to ask today, for a coordinator.

A tag, so that a page of `habitats` shows it and imports nothing of `builds`.
"""

from typing import Any

from django import template
from django.utils import timezone

from builds.kits.models.follow_ups import FollowUp
from habitats.people.models.people import Person

register = template.Library()
MOST_SHOWN = 10


@register.inclusion_tag("kits/_due.html", takes_context=True)
def kit_asks_due(context: dict[str, Any]) -> dict[str, Any]:
    """What is due, the longest overdue first; nothing for who is no coordinator."""
    person = context.get("user")
    if not isinstance(person, Person) or not person.is_coordinator:
        return {}
    today = timezone.localdate()
    due = FollowUp.objects.open().filter(on__lte=today).soonest_first().select_related("build")
    found = list(due)
    return {
        "follow_ups": found[:MOST_SHOWN],
        "more": max(0, len(found) - MOST_SHOWN),
        "today": today,
    }
