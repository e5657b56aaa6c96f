"""Checks a choice of packs against its offer, by other means than those it was found with."""

from collections.abc import Sequence

from builds.buying.packs import Choice, Pack


def check_choice(need: int, packs: Sequence[Pack], choice: Choice) -> list[str]:
    """Every fault of the choice, a sentence each; empty if it holds what it says.

    That no choice is cheaper is not checked here, only what each best choice must keep to.
    """
    offered = {pack.id: pack for pack in packs}
    faults = [f"Pack {one} was never offered." for one in choice.packs if one not in offered]
    if faults:
        return faults
    chosen = [(offered[one], number) for one, number in choice.packs.items()]
    faults += [f"{number} of pack {pack.id}." for pack, number in chosen if number < 1]
    faults += [
        f"{number} of pack {pack.id}, of which {pack.at_most} can be had."
        for pack, number in chosen
        if pack.at_most is not None and number > pack.at_most
    ]
    faults += _sums(need, chosen, choice)
    if choice.missing:
        return faults + _left_there(packs, choice)
    return faults + _needless(need, chosen, choice)


def _sums(need: int, chosen: Sequence[tuple[Pack, int]], choice: Choice) -> list[str]:
    total = sum(number * pack.count for pack, number in chosen)
    told = {
        "pieces": (total, choice.total),
        "cents": (sum(number * pack.cents for pack, number in chosen), choice.cents),
        "left over": (max(total - need, 0), choice.over),
        "missing": (max(need - total, 0), choice.missing),
    }
    return [f"{so} {what}, told as {as_}." for what, (so, as_) in told.items() if so != as_]


def _needless(need: int, chosen: Sequence[tuple[Pack, int]], choice: Choice) -> list[str]:
    return [
        f"One of pack {pack.id} can be left out."
        for pack, number in chosen
        if number and choice.total - pack.count >= need
    ]


def _left_there(packs: Sequence[Pack], choice: Choice) -> list[str]:
    """What is missing can be had of no pack: none is without end, and all are taken."""
    return [
        f"Pieces are missing, and more of pack {pack.id} can be had."
        for pack in packs
        if pack.at_most is None or choice.packs.get(pack.id, 0) < pack.at_most
    ]
