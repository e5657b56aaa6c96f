"""The packet as values: the content of each section, lengths in millimetres, pictures finished.

Pictures are whole SVG elements, safe to put into a page as they are.
"""

from bisect import bisect_left
from collections.abc import Callable
from dataclasses import dataclass
from itertools import accumulate

from builds.common.paper import Label
from builds.drawing.plan_legend import PlanSign
from builds.making.advice import PRACTICE, Advice
from builds.making.altering.linens import Linens
from builds.making.blank import Blank
from builds.making.inspection import Point
from builds.making.part_names import numbered_part
from builds.making.parts import Part, PartList, StoredAs
from builds.making.step import Added, Step
from builds.making.unmade import Unmade
from builds.packet.paper.options import WITHIN_STEPS, Options, Section
from habitats.structure.caution import Caution
from habitats.structure.ramp import Ramp
from habitats.wording import message

# A blank so many times as long as wide can still be read at half the size.
SLIM = 2


@dataclass(frozen=True, slots=True)
class Cover:
    """The finished enclosure, and what it asks of people.

    ``draw()`` is its picture: other papers show it too, and many show none.
    ``size_mm`` is width, depth and height over all. Minutes are of one person; ``pair_minutes``
    of them take two people.
    """

    draw: Callable[[], str]
    size_mm: tuple[int, int, int]
    ground_mm2: int
    upper_mm2: int
    species: str
    bench_minutes: int
    assembly_minutes: int
    pair_minutes: int

    @property
    def picture(self) -> str:
        return self.draw()

    @property
    def minutes(self) -> int:
        return self.bench_minutes + self.assembly_minutes


@dataclass(frozen=True, slots=True)
class CutLine:
    """One cut across the part at hand: down or across it, so far from its left or top edge."""

    number: int
    is_down: bool
    from_edge_mm: int
    length_mm: int


@dataclass(frozen=True, slots=True)
class SheetCard:
    """A stock sheet, counted from 1, so many of them cut alike; ``pieces`` are names and how often
    each.
    """

    number: int
    copies: int
    size_mm: tuple[int, int]
    picture: str
    pieces: tuple[tuple[str, int], ...]
    cuts: tuple[CutLine, ...]

    def holds(self, piece: str) -> bool:
        return any(name == piece for name, _count in self.pieces)


@dataclass(frozen=True, slots=True)
class RampCard:
    """A ramp: from the side, its doorway panel and its panels to bend, strip and towel.

    ``towel_cut`` is the cloth before it is folded, (width, length).
    """

    name: str
    place: str
    ramp: Ramp
    side_picture: str
    cut_picture: str
    bend_picture: str
    towel_cut: tuple[int, int]


@dataclass(frozen=True, slots=True)
class BlankCard:
    """A piece to cut from sheet, counted from 1; ``joined_to`` names what it is taped to.

    ``turned_picture`` shows it turned over, for its scores; empty where it then looks the same.
    """

    number: int
    blank: Blank
    picture: str
    joined_to: tuple[str, ...]
    turned_picture: str = ""

    @property
    def name(self) -> str:
        """Its number and its name, as on the sheet plan."""
        return numbered_part(self.number, self.blank.code)

    @property
    def shape(self) -> str:
        """``wide`` and ``tall`` ones are drawn smaller than a ``square`` one and share a page;
        two ``tall`` ones stand side by side.
        """
        width, height = self.blank.width_mm, self.blank.height_mm
        if height > SLIM * width:
            return "tall"
        return "wide" if width > SLIM * height else "square"


@dataclass(frozen=True, slots=True)
class PlanCard:
    """The plan of a level, the ground's first, with what its signs mean; how high it is printed."""

    level: int
    picture: str
    legend: tuple[PlanSign, ...]
    picture_mm: int = 96


@dataclass(frozen=True, slots=True)
class StepCard:
    """A step with its place in the order, counted from 1; ``needs`` are such numbers too.

    ``blank`` is the piece that it cuts, ``ramp`` the ramp that it sets, each with a drawing of its
    own; ``sheets`` the numbers of the sheet plans that the piece lies on, ``in_plan`` where it lies
    in the sheet plan of a batch, empty where none cuts it; ``see`` the section that it sends the
    reader to. ``told`` are its sentences: work that an earlier step tells is referred to.
    ``picture_mm``: how high its picture is, ``picture_width_mm`` how wide beside its words;
    ``has_notes_below``: its notes stand below both.
    """

    number: int
    step: Step
    needs: tuple[int, ...]
    picture: str
    told: tuple[str, ...]
    blank: BlankCard | None = None
    sheets: tuple[int, ...] = ()
    in_plan: str = ""
    ramp: RampCard | None = None
    see: Section | None = None
    picture_mm: int = 0
    picture_width_mm: int = 80
    has_notes_below: bool = False

    @property
    def second_picture(self) -> str:
        """The piece turned over, or the ramp from its side; empty if there is neither."""
        if self.blank:
            return self.blank.turned_picture
        return self.ramp.side_picture if self.ramp else ""


@dataclass(frozen=True, slots=True)
class PieceOfWork:
    """A piece of work, counted from 1: steps in a row that are done in one place."""

    number: int
    heading: str
    cards: tuple[StepCard, ...]

    @property
    def code(self) -> str:
        """What its heading is called within the page."""
        return f"work-{self.number}"

    @property
    def minutes(self) -> int:
        return sum(card.step.minutes for card in self.cards)

    @property
    def pair_minutes(self) -> int:
        """Of them, those that take two people."""
        return sum(card.step.minutes for card in self.cards if card.step.people > 1)


@dataclass(frozen=True, slots=True)
class Block:
    """What is never torn apart: a sheet plan, the plan of a level or a step.

    ``chapter`` is the piece of work that begins with it, None inside one.
    """

    chapter: PieceOfWork | None = None
    sheet: SheetCard | None = None
    plan: PlanCard | None = None
    step: StepCard | None = None


@dataclass(frozen=True, slots=True)
class WorkPage:
    """What shares a page of the work; ``alone``: its one block is drawn as large as the page."""

    blocks: tuple[Block, ...]
    alone: bool = False


@dataclass(frozen=True, slots=True)
class PartGroup:
    """Parts that are stored together."""

    heading: str
    parts: tuple[Part, ...]


@dataclass(frozen=True, slots=True)
class AlterationSheet:
    """What a packet for an alteration says beside: how the drawing lies, and where parts come from.

    ``new`` is fetched, or cut from sheet, ``again`` is taken off and used again, ``back`` goes to
    the store; ``old_sheet`` are trays and strips that serve no more. ``trays`` are (which tray,
    what becomes of it). ``sentence`` warns where little stays, else it is empty. ``beside``: it is
    not opened, and animals stay in it.
    """

    laid: str
    sentence: str
    new: tuple[Part, ...]
    again: tuple[Added, ...]
    back: tuple[Added, ...]
    old_sheet: tuple[Added, ...]
    ties_cut: int
    turned: int
    borrowed: int
    beside: bool
    trays: tuple[tuple[str, str], ...]
    linens: Linens


@dataclass(frozen=True, slots=True)
class GlossaryEntry:
    """A word of the packet explained; ``picture`` is how drawings mark it, empty if they do not."""

    term: str
    explanation: str
    picture: str

    @property
    def letters(self) -> int:
        return len(self.term) + len(self.explanation)


@dataclass(frozen=True, slots=True)
class Packet:
    """Everything that is printed. Sections that were not asked for are empty.

    ``change`` is None in a packet to build from nothing. ``sheet_plan``: the code of the sheet plan
    of a batch that cuts its sheet; empty: it has sheet plans of its own.
    """

    label: Label
    options: Options
    qr: str
    cover: Cover
    cautions: tuple[Advice, ...]
    warnings: tuple[Caution, ...]
    plans: tuple[PlanCard, ...]
    parts: PartList
    sheets: tuple[SheetCard, ...]
    blanks: tuple[BlankCard, ...]
    unmade: tuple[Unmade, ...]
    ramps: tuple[RampCard, ...]
    chapters: tuple[PieceOfWork, ...]
    work_pages: tuple[WorkPage, ...]
    first_use: tuple[Advice, ...]
    care: tuple[Advice, ...]
    inspection: tuple[Point, ...]
    change: AlterationSheet | None = None
    glossary: tuple[GlossaryEntry, ...] = ()
    sheet_plan: str = ""

    @property
    def no_source(self) -> str:
        """What advice names as its source when there is none: said once, below the advice."""
        return PRACTICE

    @property
    def sections(self) -> tuple[Section, ...]:
        """What is printed, in order. There is no page about ramps where there is none.

        Where steps are printed, sheet plans, blanks, ramps and plans stand beside them.
        """
        nothing = set() if self.has_ramp else {Section.RAMPS}
        if not self.glossary:
            nothing.add(Section.GLOSSARY)
        if Section.STEPS in self.options.sections:
            nothing |= WITHIN_STEPS
        return tuple(one for one in Section if one in self.options.sections - nothing)

    @property
    def contents(self) -> tuple[tuple[str, str], ...]:
        """(id, heading) of all there is to find, each piece of work by its own name."""
        found: list[tuple[str, str]] = []
        for one in self.sections:
            if one is Section.STEPS:
                found += [(chapter.code, chapter.heading) for chapter in self.chapters]
            else:
                found.append((one.value, one.heading))
        return tuple(found)

    @property
    def glossary_halves(self) -> tuple[tuple[GlossaryEntry, ...], ...]:
        """Two columns of about as many letters, read down one and then the other."""
        ends = [*accumulate(one.letters for one in self.glossary)]
        middle = bisect_left(ends, (ends[-1] if ends else 0) / 2) + 1
        return self.glossary[:middle], self.glossary[middle:]

    @property
    def has_ramp(self) -> bool:
        """Whether there is a ramp to make."""
        return bool(self.ramps) if self.change else self.parts.panels.ramp > 0

    @property
    def cards(self) -> tuple[StepCard, ...]:
        """All steps, in order."""
        return tuple(card for chapter in self.chapters for card in chapter.cards)

    @property
    def new_parts(self) -> tuple[tuple[Part, int], ...]:
        """What an alteration needs new, and the step that cuts it; 0 where it is fetched."""
        cut = {card.blank.blank.code: card.number for card in self.cards if card.blank}
        return tuple((one, cut.get(one.what, 0)) for one in self.change.new) if self.change else ()

    @property
    def part_groups(self) -> tuple[PartGroup, ...]:
        groups = (PartGroup(_KINDS[kind], self.parts.of_kind(kind)) for kind in StoredAs)
        return tuple(group for group in groups if group.parts)


_KINDS = {
    StoredAs.PANEL: message("Panels"),
    StoredAs.FASTENING: message("Fastenings"),
    StoredAs.SHEET: message("From sheet"),
    StoredAs.CLOTH: message("Cloth"),
    StoredAs.FURNITURE: message("Hides, water, hay"),
}
