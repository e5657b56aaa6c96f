"""One build's part of a sheet plan, as its packet tells it: where each piece lies, and how."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import NamedTuple

from builds.making.blank import BlankSet, Flute, SheetSize
from builds.sheets.plan import CuttingPlan, Share
from habitats.wording import counted


class PieceInPlan(NamedTuple):
    """A blank in a sheet plan: its number and sheets there, and how its flutes run.

    ``flute`` None: of several some lie turned.
    """

    number: str
    sheets: tuple[int, ...]
    flute: Flute | None


@dataclass(frozen=True)
class InPlan:
    """What is cut for a build by the sheet plan of this code; ``pieces`` by the code of a blank."""

    code: str
    pieces: Mapping[str, PieceInPlan]

    def words_for(self, code: str) -> str:
        """Where the plan has the blank of this code, for whoever is about to cut it."""
        piece = self.pieces[code]
        return counted(
            "Cut this piece by the sheet plan %(plan)s: there it is %(there)s, on sheet "
            "%(sheets)s. If its flutes run otherwise there, the sheet plan is right.",
            "Cut these pieces by the sheet plan %(plan)s: there they are %(there)s, on sheets "
            "%(sheets)s. If their flutes run otherwise there, the sheet plan is right.",
            len(piece.sheets),
            plan=self.code,
            there=piece.number,
            sheets=", ".join(map(str, piece.sheets)),
        )

    def lay(self, blanks: BlankSet, _sheet: SheetSize) -> BlankSet:
        """The blanks as this plan has them cut, in the place of ``as_cut``."""
        pieces = self.pieces
        return replace(
            blanks,
            blanks=tuple(
                replace(one, cut_flute=pieces[one.code].flute) if one.code in pieces else one
                for one in blanks.blanks
            ),
        )


def in_plan(code: str, plan: CuttingPlan, share: Share) -> InPlan:
    """The share of one build of the plan of this code."""
    numbers = {
        blank.code: plan.number_of(f"{share.build.number}.{number}")
        for number, blank in enumerate(share.build.made.blanks, start=1)
    }
    return InPlan(code, {of: _piece(of, number, share) for of, number in numbers.items()})


def _piece(code: str, number: str, share: Share) -> PieceInPlan:
    own = [one for one in share.pieces if one.blank.code == code]
    flutes = {one.blank.cut_flute for one in own}
    sheets = tuple(sorted({one.sheet for one in own}))
    return PieceInPlan(number, sheets, flutes.pop() if len(flutes) == 1 else None)
