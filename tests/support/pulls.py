"""A store stocked for builds, and pulls begun for them."""

import uuid

from builds.pulls.models.pulling import begin
from builds.store.models import movements
from builds.store.models.items import Item
from tests.support.builds import make_build, planner
from tests.support.sheets import make_kind, make_place
from tests.support.store import make_item, make_small_items

PLENTY = 200


def stock_up(**counts: int) -> dict[str, Item]:
    """One item of each kind, on the rack: plenty of it, or so many; by its kind."""
    place, by = make_place("Rack"), planner()
    items = {one.kind: one for one in [make_item(), *make_small_items(), make_kind().item]}
    for kind, item in items.items():
        if counts.get(kind, PLENTY):
            movements.take_in(item, place, counts.get(kind, PLENTY), by=by)
    return items


def begun(build=None, **facts):
    """A pull for a build, which is made if none is given."""
    return begin(build or make_build(**facts), by=planner(), idempotency_key=uuid.uuid4())
