"""What Today is made of: parts with rows, in the order in which things matter.

Each row says what is wrong or to be done, and has one link, to where that is mended. What can wait
is folded by kind, with a number. Features of `builds` answer ``today_asked`` with parts of theirs.
"""

from collections.abc import Iterable, Sequence
from typing import Any, NamedTuple, TypeVar

from django.db.models import Count, Model, QuerySet, Window
from django.dispatch import Signal

MOST_ROWS = 16  # of each part; a page of its own has them all
FEW_ROWS = 6  # of what can wait; a page of its own has them all

M = TypeVar("M", bound=Model)
Rows = TypeVar("Rows", bound="QuerySet[Any, Any]")

# Asked for each view of Today. Gives ``person`` and ``day``; receivers return ``TodayPart``s.
today_asked = Signal()

# From what cannot wait an hour to what can wait until tomorrow.
IN_ORDER = (
    NOW,
    DOSES,
    DUE,
    MENDED,
    UNHOUSED,
    BUILDS,
    FAULTS,
    PULLS,
    LINENS,
    AWAY,
    STORE,
    ADOPTIONS,
) = (
    "now",
    "doses",
    "due",
    "mended",
    "unhoused",
    "builds",
    "faults",
    "pulls",
    "linens",
    "away",
    "store",
    "adoptions",
)
URGENT = (NOW, DOSES)


class TodayRow(NamedTuple):
    """``link`` leads to where it is mended, ``action`` says so. ``when`` empty: now.

    ``tick``: an address that says with one tap that it is done, as ``tick_words`` say.
    """

    words: str
    link: str
    action: str
    where: str = ""
    when: str = ""
    advice: str = ""
    is_wrong: bool = False
    tick: str = ""
    tick_words: str = ""

    @property
    def beside(self) -> str:
        """Where, and when."""
        return " · ".join(filter(None, (self.where, self.when)))

    @property
    def aloud(self) -> str:
        """What the link is about, for those who hear it without the row around it."""
        return f"{self.words}, {self.where}" if self.where else self.words


class TodayPart(NamedTuple):
    """``rows``: at most ``MOST_ROWS`` of ``total``, of which ``shown`` are open at once.

    ``more_link``: a page with all of them. ``caution`` stands under the heading. ``together``:
    the address of a page that does it for many at once, called ``together_words``; it stands
    beside the line under which the rest is folded. ``is_of_others``: of other homes, so one's own
    comes first.
    """

    code: str
    title: str
    rows: Sequence[TodayRow]
    total: int
    more_link: str = ""
    shown: int = 3
    caution: str = ""
    together: str = ""
    together_words: str = ""
    is_of_others: bool = False

    @property
    def first(self) -> Sequence[TodayRow]:
        # One row alone is not worth a fold.
        return self.rows if len(self.rows) == self.shown + 1 else self.rows[: self.shown]

    @property
    def is_later(self) -> bool:
        """It comes after what is urgent, so that a phone gives its heading less room."""
        return self.code not in URGENT and not self.rows[0].is_wrong

    @property
    def folded(self) -> Sequence[TodayRow]:
        return self.rows[len(self.first) :]

    @property
    def rest(self) -> int:
        """How many are not shown at once."""
        return self.total - len(self.first)

    @property
    def left_out(self) -> int:
        return self.total - len(self.rows)

    def with_rows_of(self, other: "TodayPart") -> "TodayPart":
        """The same part, of another feature too; its own rows come first."""
        rows = [*self.rows, *other.rows][:MOST_ROWS]
        return self._replace(rows=rows, total=self.total + other.total)


class Fold(NamedTuple):
    """What can wait, of one kind: ``words`` tell how many; ``rows`` are the first of them.

    ``short``: what it is, where many kinds are told in a line.
    """

    words: str
    short: str
    rows: Sequence[TodayRow]
    total: int
    more_link: str

    @property
    def left_out(self) -> bool:
        return self.total > len(self.rows)


def numbered(found: Rows) -> Rows:
    """The first ``MOST_ROWS``; each knows how many there are in all."""
    return found.annotate(number_in_all=Window(Count("pk")))[:MOST_ROWS]


def with_number(first: list[M]) -> tuple[list[M], int]:
    """Those of a question that is ``numbered``, and how many there are in all."""
    return first, vars(first[0])["number_in_all"] if first else 0


def first_and_number(found: QuerySet[M, M]) -> tuple[list[M], int]:
    """Both, by one question."""
    return with_number(list(numbered(found)))


def in_order(parts: Iterable[TodayPart]) -> list[TodayPart]:
    """Those in which there is something, one of each code."""
    found: dict[str, TodayPart] = {}
    for part in parts:
        if part.rows:
            before = found.get(part.code)
            found[part.code] = before.with_rows_of(part) if before else part
    return sorted(found.values(), key=_place)


def _place(part: TodayPart) -> float:
    """Faults of which one is unsafe now come before all: animals live with it."""
    if part.code == FAULTS and part.rows[0].is_wrong:
        return IN_ORDER.index(NOW) + (0.5 if part.is_of_others else -1)
    return IN_ORDER.index(part.code)
