"""`{% load build_costs %}`, then `{% build_cost build %}` or `{% batch_cost batch %}`.

Tags, so that pages of batches show what pulls know. Empty for those who are no coordinators: prices
are for those who buy.
"""

from typing import Any

from django import template

from builds.batches.models.batches import Batch
from builds.plans.models.builds import Build
from builds.pulls.models.costs import cost_of_batch, cost_of_build
from builds.store.models.costs import PricedNeeds
from habitats.people.models.people import Person

register = template.Library()


@register.inclusion_tag("store/_cost.html", takes_context=True)
def build_cost(context: dict[str, Any], build: Build, note: str = "") -> dict[str, Any]:
    """``note``: a sentence beside the totals."""
    if not _buys(context):
        return {}
    return _told(context, cost_of_build(build)) | {"note": note}


@register.inclusion_tag("store/_cost.html", takes_context=True)
def batch_cost(context: dict[str, Any], batch: Batch) -> dict[str, Any]:
    if not _buys(context):
        return {}
    return _told(context, cost_of_batch(batch))


def _told(context: dict[str, Any], priced: PricedNeeds) -> dict[str, Any]:
    return {"priced": priced, "currency": context["currency"], "units": context["units"]}


def _buys(context: dict[str, Any]) -> bool:
    person = context.get("user")
    return isinstance(person, Person) and person.is_coordinator
