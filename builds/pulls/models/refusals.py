"""What a pull refuses, each with one sentence: raises ``CannotPull`` and has changed nothing."""

from collections.abc import Sequence

from django.utils.translation import gettext as _

from builds.plans.models.builds import NEEDING, Build, BuildState
from builds.pulls.models.pulls import CannotPull, Pull, PullEnd
from builds.store.models.items import Item
from builds.store.models.movements import MOST_AT_ONCE


def refuse_state(build: Build) -> None:
    """Raise ``CannotPull`` for a build that takes nothing more."""
    state = state_now(build)
    if state not in NEEDING:
        raise CannotPull(
            _(
                "“%(build)s” is %(state)s, so nothing is taken for it. "
                "Bring back what is left, or plan another build."
            )
            % {"build": build, "state": BuildState(state).in_a_sentence}
        )


def refuse_ended(pulls: Sequence[Pull]) -> None:
    if not pulls:
        raise CannotPull(_("No pull is open. Start a pull."))
    for pull in pulls:
        refuse_state(pull.build)
        if has_ended(pull):
            raise CannotPull(
                _(
                    "The pull for “%(build)s” has ended, so nothing was saved. "
                    "Start another for what is still needed."
                )
                % {"build": pull.build}
            )


def refuse_item(item: Item, own: Sequence[Pull]) -> None:
    if not own:
        raise CannotPull(not_listed(item))
    if item.kind == Item.Kind.SHEET:
        raise CannotPull(
            _("“%(item)s” is taken by a cutting job: plan one, and mark it as cut.")
            % {"item": item}
        )


def not_listed(item: Item) -> str:
    return _(
        "“%(item)s” is not on this pull. Take what is listed, "
        "or report the listed item short and choose this as the alternative."
    ) % {"item": item}


def taken_already(build: Build, has_sheets: bool) -> str:
    if has_sheets:
        sentence = _(
            "Everything for “%(build)s” is taken already, except sheets: make a sheet plan."
        )
    else:
        sentence = _("Everything for “%(build)s” is taken already.")
    return sentence % {"build": build}


def whole_count(count: int) -> int:
    if 1 <= count <= MOST_AT_ONCE:
        return count
    raise CannotPull(
        _("%(count)d given; give 1 to %(most)d.") % {"count": count, "most": MOST_AT_ONCE}
    )


def has_ended(pull: Pull) -> bool:
    return PullEnd.objects.filter(pull=pull).exists()


def state_now(build: Build) -> str:
    return build.state_now()
