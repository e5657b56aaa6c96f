"""How an amount taken for several pulls is shared out, in the order of the pulls."""

from collections.abc import Iterable, Sequence

from django.utils.translation import gettext as _

from builds.pulls.models.accounts import pull_accounts
from builds.pulls.models.pulls import CannotPull, Pull
from builds.pulls.models.refusals import not_listed
from builds.store.models.items import Item

Share = tuple[Pull, int]


def shares_left(pulls: Sequence[Pull], item: Item, count: int) -> list[Share]:
    own = [one for one in pull_accounts(pulls).values() if one.asked[item]]
    if not own:
        raise CannotPull(not_listed(item))
    left = [(one.pull, one.left[item]) for one in own]
    there = sum(some for _pull, some in left)
    if not 1 <= count <= there:
        words = {"count": count, "item": item, "most": there}
        if there:
            raise CannotPull(
                _("%(count)d given for “%(item)s”; give 1 to %(most)d, which are left to take.")
                % words
            )
        raise CannotPull(_("%(count)d given for “%(item)s”; none are left to take.") % words)
    return shared(left, count)


def shared(offers: Iterable[Share], count: int) -> list[Share]:
    """So many, from the first that have some on."""
    shares = []
    for pull, most in offers:
        share = min(max(0, most), count)
        if share:
            shares.append((pull, share))
            count -= share
    return shares


def merged(shares: Iterable[Share]) -> list[Share]:
    found: dict[Pull, int] = {}
    for pull, share in shares:
        found[pull] = found.get(pull, 0) + share
    return list(found.items())
