"""How connectors sit, in letters: one for each seat, the same in every build, text and picture.

A letter is a name for a stance on screen and paper only; facts and files keep the stance.
"""

from collections import Counter
from collections.abc import Iterable, Sequence
from typing import NamedTuple

from habitats.structure.connectors import Stance
from habitats.structure.lattice import Face
from habitats.wording import counted, joined, message


class LetteredSeat(NamedTuple):
    """``ribs`` says it beside its letter; ``words`` where there is room, or nothing to look at."""

    letter: str
    ribs: str
    words: str


SEATS: dict[Stance, LetteredSeat] = {
    Stance(Face.FLAT, 1): LetteredSeat("A", message("ribs up"), message("flat, ribs up")),
    Stance(Face.FLAT, -1): LetteredSeat("B", message("ribs down"), message("flat, ribs down")),
    Stance(Face.EW, -1): LetteredSeat(
        "C", message("ribs north"), message("upright, ribs to the north")
    ),
    Stance(Face.EW, 1): LetteredSeat(
        "D", message("ribs south"), message("upright, ribs to the south")
    ),
    Stance(Face.NS, 1): LetteredSeat(
        "E", message("ribs east"), message("upright, ribs to the east")
    ),
    Stance(Face.NS, -1): LetteredSeat(
        "F", message("ribs west"), message("upright, ribs to the west")
    ),
}


def seats_of(stances: Iterable[Stance]) -> list[tuple[Stance, LetteredSeat]]:
    """Each seat that is met, once, by its letter."""
    met = {stance: SEATS[stance] for stance in stances}
    return sorted(met.items(), key=lambda one: one[1].letter)


def connector_words(stances: Sequence[Stance]) -> str:
    """What is done with the new connectors of a step, which sit so."""
    if not stances:
        return message("All connectors here are in place already.")
    return counted(
        "Put a connector at the lettered joint: %(seats)s.",
        "Put a connector at each of the %(count)d lettered joints: %(seats)s.",
        len(stances),
        seats=_counted_seats(stances),
    )


def _counted_seats(stances: Sequence[Stance]) -> str:
    """``4 × A, ribs up; 2 × D, ribs south``; without a count if all sit alike."""
    numbers = Counter(stances)
    if len(numbers) == 1:
        return lettered(stances[0])
    return joined(
        "; ",
        [
            message("%(count)d × %(seat)s", count=numbers[stance], seat=lettered(stance))
            for stance, _seat in seats_of(stances)
        ],
    )


def lettered(stance: Stance) -> str:
    seat = SEATS[stance]
    return message("%(letter)s, %(ribs)s", letter=seat.letter, ribs=seat.ribs)


def seats_told(stances: Iterable[Stance]) -> list[str]:
    """The letters of a picture in words, for those who do not see it."""
    return [
        message("%(letter)s: %(seat)s.", letter=seat.letter, seat=seat.words)
        for _stance, seat in seats_of(stances)
    ]
