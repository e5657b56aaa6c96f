"""The demo's pulls: one complete but for what was not there, one begun and half taken."""

import uuid

from builds.plans.models.builds import Build
from builds.pulls.models.accounts import pull_accounts
from builds.pulls.models.pulling import begin, close, report_short, take, take_as_listed
from builds.pulls.models.pulls import Pull, ShortPick
from builds.store.models.items import Item
from builds.store.models.movements import reserved_by_place
from habitats.people.models.people import Person

UNDER_WAY, AHEAD = "Long wall for the back room", "Bay window, Saturday crew"
FIRST_PLACE = "B1"


def fill_pulls(by: Person, names: uuid.UUID) -> None:
    """Bring in what is missing; ``names`` makes the UUIDs by which it is found again."""
    for name, tell in ((UNDER_WAY, _taken), (AHEAD, _half_taken)):
        once = uuid.uuid5(names, f"pull {name}")
        build = Build.objects.live().filter(name=name).first()
        if build and not Pull.objects.filter(once=once).exists():
            tell(begin(build, by=by, once=once), by, once)


def _taken(pull: Pull, by: Person, once: uuid.UUID) -> None:
    take_as_listed([pull], by=by, once=uuid.uuid5(once, "all"))
    close([pull], by=by, once=uuid.uuid5(once, "close"))


def _half_taken(pull: Pull, by: Person, once: uuid.UUID) -> None:
    """The drawers are done; some of the tape was stuck together."""
    tapes = [item for item in pull_accounts([pull])[pull].left if item.kind == Item.Kind.TAPE]
    for tape in tapes:
        report_short(
            [pull],
            tape,
            1,
            ShortPick.Why.MISSING,
            note="stuck together",
            by=by,
            once=uuid.uuid5(once, "tape"),
        )
    reserved = reserved_by_place(build=pull.build)
    picks = {(item, place): count for item, place, count in reserved if place.code == FIRST_PLACE}
    if picks:
        take([pull], picks, by=by, once=uuid.uuid5(once, "drawers"))
