"""A step: one unit of work that a builder ticks, and what it adds to the structure."""

from dataclasses import dataclass
from enum import StrEnum

from builds.making.part_names import part_name
from builds.making.step_keys import Facts
from builds.making.tools import Tool
from habitats.structure.connectors import Turn
from habitats.structure.lattice import Joint, PanelPlace
from habitats.structure.pups import PupPlace


@dataclass(frozen=True, slots=True)
class Added:
    """A part a step puts to use: ``what`` is its code on the part list, and how many."""

    what: str
    count: int

    @property
    def name(self) -> str:
        return part_name(self.what)


@dataclass(frozen=True, slots=True)
class Parts:
    """Some of a structure's parts: places, joints, and trays and ramps by index.

    ``anchors`` are told by the panels that they grip, ``pups`` are panels of the pup set.
    """

    places: frozenset[PanelPlace] = frozenset()
    joints: frozenset[Joint] = frozenset()
    trays: frozenset[int] = frozenset()
    ramps: frozenset[int] = frozenset()
    anchors: frozenset[PanelPlace] = frozenset()
    pups: frozenset[PupPlace] = frozenset()

    def __or__(self, other: "Parts") -> "Parts":
        return Parts(
            self.places | other.places,
            self.joints | other.joints,
            self.trays | other.trays,
            self.ramps | other.ramps,
            self.anchors | other.anchors,
            self.pups | other.pups,
        )

    def __sub__(self, other: "Parts") -> "Parts":
        return Parts(
            self.places - other.places,
            self.joints - other.joints,
            self.trays - other.trays,
            self.ramps - other.ramps,
            self.anchors - other.anchors,
            self.pups - other.pups,
        )

    def __bool__(self) -> bool:
        return any((self.places, self.joints, self.trays, self.ramps, self.anchors, self.pups))


class Work(StrEnum):
    """Kinds of work at the bench on one part."""

    CUT_DOORWAY = "cut doorway"
    FILE_DOORWAY = "file doorway"
    BEND_RAMP = "bend ramp"
    TIE_RAMP = "tie ramp"
    CUT_BLANK = "cut blank"
    FOLD_TRAY = "fold tray"
    FOLD_STRIP = "fold strip"


class Task(StrEnum):
    """What is done in a step: the first of its facts. A code is never changed, words may be."""

    SORT = "sort"
    MEASURE = "measure"
    CUT_DOORWAY = "cut-doorway"
    FILE_DOORWAY = "file-doorway"
    BEND_RAMP = "bend-ramp"
    TIE_RAMP = "tie-ramp"
    CUT_BLANK = "cut-blank"
    FOLD_TRAY = "fold-tray"
    FOLD_STRIP = "fold-strip"
    FLOOR = "floor"
    WALL = "wall"
    DIVIDER = "divider"
    GUARD = "guard"
    SUPPORT = "support"
    DOOR = "door"
    ANCHOR = "anchor"
    FREE = "free-anchors"
    PUPS = "pup-set"
    TAKE_PUPS = "take-pup-set"
    LID = "lid"
    LAY_TRAY = "lay-tray"
    SET_RAMP = "set-ramp"
    LINERS = "liners"
    FURNISH = "furnish"
    CLEAR = "clear-furniture"
    INSPECT = "inspect"
    FETCH = "fetch"
    ANIMALS_OUT = "animals-out"
    ANIMALS_BACK = "animals-back"
    TAKE = "take"
    TAKE_CLOTH = "take-cloth"
    SORT_OUT = "sort-out"
    TURN = "turn"
    REHANG = "rehang"
    CUT_TRAY = "cut-tray"
    CUT_DOWN = "cut-down"
    INTO_STORE = "into-store"
    KEEP_AWAY = "keep-away"
    MEND = "mend"
    SAFETY_CHECK = "look-over"


@dataclass(frozen=True, slots=True)
class Subject:
    """What a step at the bench works on, so that it can be drawn.

    ``index`` is that of the ramp, for ``CUT_BLANK`` of the blank among ``BlankSet.blanks``, for
    ``FOLD_TRAY`` of the level.
    """

    work: Work
    index: int


@dataclass(frozen=True, slots=True)
class Step:
    """One step of the assembly, or of an alteration or taking down.

    ``id`` is stable for the same design and unique in it; ``needs`` are ids of steps that come
    first. ``places``, ``joints``, ``trays`` (level indexes), ``ramps`` (indexes), ``anchors``
    (the panels that they grip) and ``pups`` say what now stands that did not before; all are empty
    for steps at the bench. ``people`` is 1 or 2.
    ``bench`` tells work on loose parts (cutting, bending, folding) from work on the enclosure;
    ``subject`` says which part, None where it is all of them or the enclosure.

    ``takes`` says what no longer stands that did before, as it was told of what stood: its trays
    and ramps by their indexes there. ``removes`` counts those parts as ``adds`` does; ``turns``
    are connectors put back another way round.

    ``facts`` tell the work in codes and numbers, its ``Task`` first: what the step is known by.
    """

    id: str
    title: str
    instructions: tuple[str, ...]
    needs: tuple[str, ...] = ()
    adds: tuple[Added, ...] = ()
    tools: tuple[Tool, ...] = ()
    cautions: tuple[str, ...] = ()
    minutes: int = 5
    people: int = 1
    bench: bool = False
    places: tuple[PanelPlace, ...] = ()
    joints: tuple[Joint, ...] = ()
    trays: tuple[int, ...] = ()
    ramps: tuple[int, ...] = ()
    anchors: tuple[PanelPlace, ...] = ()
    pups: tuple[PupPlace, ...] = ()
    subject: Subject | None = None
    takes: Parts = Parts()
    removes: tuple[Added, ...] = ()
    turns: tuple[Turn, ...] = ()
    facts: Facts = ()

    @property
    def task(self) -> str:
        """The code of its ``Task``; empty for a step without facts."""
        return str(self.facts[0]) if self.facts else ""

    @property
    def puts(self) -> Parts:
        """What now stands that did not before."""
        return Parts(
            frozenset(self.places),
            frozenset(self.joints),
            frozenset(self.trays),
            frozenset(self.ramps),
            frozenset(self.anchors),
            frozenset(self.pups),
        )
