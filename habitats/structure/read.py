"""Reading a design file: from JSON to a ``Design``, or every fault named with its place.

The file's form is ``enclosure-design/1``. Reading checks the form, the sizes and the plans;
whether the enclosure can stand is for ``habitats.structure.structure`` to say.
"""

from collections.abc import Mapping
from typing import Any

from habitats.strict_json import NotReadable, load
from habitats.structure.design import (
    Design,
    Fitting,
    Furniture,
    Level,
    PanelSize,
    RampWish,
    Species,
    TrayRule,
)
from habitats.structure.faults import BadDesign, FileFault
from habitats.structure.fields import Fields, Findings, shown
from habitats.structure.kinds import At, Kind, Role, fitting_kinds, with_fittings
from habitats.structure.lattice import Cell, Side, counted_from_1
from habitats.structure.ramp import MOST_RAMP_PANELS
from habitats.structure.standing import shape_faults
from habitats.wording import message

FORMAT = "enclosure-design/1"
# Keys of a file; between them stand the kinds of fitting, round the ramps.
FIRST_KEYS = ("format", "name", "species", "panel", "tray", "levels")
LAST_KEYS = ("lid", "room_walls", "furniture", "pup_set")

MOST_ROWS = 24
MOST_COLS = 24
MOST_LEVELS = 4
MOST_Z = 12
MOST_TIERS = 4
MOST_RAMPS = 12
LONGEST_NAME = 120

PANEL_MM = (150, 1000)
COMMON_PANELS_MM = (355, 350, 305, 300)  # common practice, no source
SQUARES = (3, 40)
WALL_MM = (50, 600)
CLEARANCE_MM = (0, 50)
ROUND_MM = (1, 50)
FURNISHED_FOR = (1, 40)  # animals
FURNITURE = (0, 40)  # of each piece
_PIECES = ("hides", "water", "hay")


def read_design(data: bytes | str) -> Design:
    """The design in a file's text.

    Raises ``BadDesign`` naming every fault found; text that is no JSON at all is one fault.
    """
    try:
        document = load(data if isinstance(data, bytes) else data.encode())
    except NotReadable as unreadable:
        raise BadDesign([FileFault("", str(unreadable))]) from unreadable
    return design_from(document)


def design_from(document: object) -> Design:
    """The design in an already parsed document. Raises ``BadDesign``."""
    if not isinstance(document, dict):
        raise BadDesign(
            [
                FileFault(
                    "",
                    message(
                        "A design file holds one JSON object, not %(given)s.",
                        given=shown(document),
                    ),
                )
            ]
        )
    findings = Findings()
    design = _read(Fields(document, "", findings))
    if design is None or findings.faults:
        # Unknown keys alone leave a whole design: name what is wrong with its shape as well.
        shape = [] if design is None else shape_faults(design)
        raise BadDesign(findings.faults + shape)
    return design


def _read(fields: Fields) -> Design | None:
    """The design, or None where a value was refused."""
    kinds, later = ([kind.in_file for kind in some] for some in _kinds_in_file())
    fields.known(*FIRST_KEYS, *kinds, "ramps", *later, *LAST_KEYS)
    fields.one_of("format", [FORMAT])
    name = fields.text("name", LONGEST_NAME, default="Unnamed design")
    species = fields.one_of("species", list(Species))
    panel = _read_panel(fields.child("panel"))
    tray = _read_tray(fields.child("tray", default={}))
    levels, rows, cols = _read_levels(fields)
    fittings, ramps = _read_fitted(fields, panel)
    lid = fields.yes_no("lid", default=False)
    room_walls = fields.some_of("room_walls", list(Side))
    furniture = _read_furniture(fields.child("furniture")) if fields.has("furniture") else None
    pup_set = fields.yes_no("pup_set", default=False)
    if fields.is_sound("panel") and fields.is_sound("tray"):
        _check_tray_room(fields, panel, tray)
    if fields.spoiled:
        return None
    design = Design(
        name=name,
        species=Species(species),
        panel=panel,
        rows=rows,
        cols=cols,
        levels=levels,
        tray=tray,
        ramps=ramps,
        lid=lid,
        room_walls=frozenset(map(Side, room_walls)),
        furniture=furniture,
        pup_set=pup_set,
    )
    for role, some in fittings.items():
        design = with_fittings(design, role, some)
    return design


def _read_fitted(
    fields: Fields, panel: PanelSize
) -> tuple[dict[Role, tuple[Fitting, ...] | None], tuple[RampWish, ...]]:
    """Fittings by their kind, None where the file does not tell one; and ramps.

    Read in the order of the file, which is that of its faults.
    """
    drawn, after_ramps = _kinds_in_file()
    fittings = {kind.role: _read_fittings(fields, kind) for kind in drawn}
    # No bound is taken from a panel that was refused: it would blame what may be right.
    squares = panel.squares if fields.is_sound("panel") else SQUARES[1]
    ramps = tuple(_read_ramp(one, squares) for one in fields.children("ramps", MOST_RAMPS, 0, []))
    fittings |= {kind.role: _read_fittings(fields, kind) for kind in after_ramps}
    return fittings, ramps


def _kinds_in_file() -> tuple[list[Kind], list[Kind]]:
    """Kinds of fitting that a file tells before its ramps, and after them what ramps ask for."""
    kinds = fitting_kinds()
    return [one for one in kinds if one.auto is None], [one for one in kinds if one.auto]


def _read_panel(fields: Fields) -> PanelSize:
    fields.known("size_mm", "squares")
    return PanelSize(
        size_mm=fields.whole("size_mm", PANEL_MM), squares=fields.whole("squares", SQUARES, 9)
    )


def _read_tray(fields: Fields) -> TrayRule:
    fields.known("wall_mm", "clearance_mm", "round_mm")
    usual = TrayRule()
    return TrayRule(
        wall_mm=fields.whole("wall_mm", WALL_MM, usual.wall_mm),
        clearance_mm=fields.whole("clearance_mm", CLEARANCE_MM, usual.clearance_mm),
        round_mm=fields.whole("round_mm", ROUND_MM, usual.round_mm),
    )


def _read_furniture(fields: Fields) -> Furniture:
    fields.known("animals", *_PIECES)
    counts = (fields.maybe_whole(key, FURNITURE) for key in _PIECES)
    return Furniture(fields.whole("animals", FURNISHED_FOR), *counts)


def _check_tray_room(fields: Fields, panel: PanelSize, tray: TrayRule) -> None:
    if tray.wall_mm > panel.size_mm:
        fields.fault(
            "tray.wall_mm",
            message(
                "The tray's wall of %(wall)s mm is taller than a panel of %(size)s mm. Give at "
                "most %(size)s.",
                wall=tray.wall_mm,
                size=panel.size_mm,
            ),
        )


def _read_levels(fields: Fields) -> tuple[tuple[Level, ...], int, int]:
    """The levels, and the rows and columns of the lattice they share."""
    levels: list[Level] = []
    sizes: list[tuple[int, int]] = []
    for one in fields.children("levels", MOST_LEVELS, least=1):
        one.known("z", "wall_panels", "plan")
        z = one.whole("z", (0, MOST_Z))
        wall_panels = one.whole("wall_panels", (1, MOST_TIERS), 1)
        plan = _read_plan(one)
        if plan is not None:
            levels.append(Level(z, wall_panels, plan_cells(plan)))
            sizes.append((len(plan), len(plan[0])))
            _check_lattice(one, sizes[0], sizes[-1])
    return tuple(levels), *(sizes[0] if sizes else (0, 0))


def _check_lattice(fields: Fields, ground: tuple[int, int], this: tuple[int, int]) -> None:
    if this != ground:
        fields.fault(
            "plan",
            message(
                "The plan is %(rows)s rows of %(cols)s; the ground's is %(ground_rows)s rows of "
                "%(ground_cols)s. All levels share one lattice: pad it with dots.",
                rows=this[0],
                cols=this[1],
                ground_rows=ground[0],
                ground_cols=ground[1],
            ),
        )


def plan_cells(plan: list[str]) -> frozenset[Cell]:
    """The cells of a plan: one string a row, north at the top, ``#`` is a cell."""
    return frozenset(
        Cell(row, col)
        for row, line in enumerate(plan)
        for col, mark in enumerate(line)
        if mark == "#"
    )


def _read_plan(fields: Fields) -> list[str] | None:
    """The plan's rows, or None where they cannot be read as a plan at all."""
    rows = fields.texts("plan", MOST_ROWS, MOST_COLS)
    if rows is None:
        return None
    for index, row in enumerate(rows):
        if len(row) != len(rows[0]):
            fields.fault(
                f"plan[{index}]",
                message(
                    "This row is %(width)s wide and the first %(first)s. A plan is rectangular: "
                    "pad short rows with dots.",
                    width=len(row),
                    first=len(rows[0]),
                ),
            )
            return None
        strange = next((mark for mark in row if mark not in "#."), None)
        if strange is not None:
            fields.fault(
                f"plan[{index}]",
                message(
                    "%(mark)s at column %(column)s means nothing here. Use # for a cell and . "
                    "for none.",
                    mark=shown(strange),
                    column=counted_from_1(row.index(strange)),
                ),
            )
            return None
    return rows


def _read_side(fields: Fields) -> Side:
    return Side(fields.one_of("side", list(Side)) or Side.N)


def _read_ramp(fields: Fields, squares: int) -> RampWish:
    fields.known("level", "row", "col", "side", "panels", "overlap_squares", "bend_squares")
    most_overlap, most_bend = squares - 1, (squares - 1) // 2
    return RampWish(
        level=fields.whole("level", (1, MOST_LEVELS - 1)),
        row=fields.whole("row", (0, MOST_ROWS - 1)),
        col=fields.whole("col", (0, MOST_COLS - 1)),
        side=_read_side(fields),
        panels=fields.whole_or("panels", "auto", (1, MOST_RAMP_PANELS)),
        overlap_squares=fields.whole("overlap_squares", (1, most_overlap), min(3, most_overlap)),
        bend_squares=fields.whole("bend_squares", (1, most_bend), min(3, most_bend)),
    )


def _read_fittings(fields: Fields, kind: Kind) -> tuple[Fitting, ...] | None:
    """None for "auto"."""
    if kind.auto and fields.is_word(kind.in_file, "auto", default=kind.if_untold):
        return None
    return tuple(
        _read_fitting(one, kind) for one in fields.children(kind.in_file, kind.most, 0, [])
    )


def _read_fitting(fields: Fields, kind: Kind) -> Fitting:
    fields.known(*kind.written, *(one.key for one in kind.options))
    highest = MOST_Z + MOST_TIERS if kind.at is At.WALL_TOP else MOST_Z
    # Of joints there is one more than of cells.
    past = 0 if kind.at is At.JOINT else 1
    most = {"row": MOST_ROWS - past, "col": MOST_COLS - past, "z": highest}
    side = None
    found: dict[str, int] = {}
    for key in kind.written:
        if key == "side":
            side = _read_side(fields)
        else:
            found[key] = fields.whole(key, (0, most[key]))
    options = tuple(
        (one.key, fields.whole(one.key, (one.least, one.most), one.usual)) for one in kind.options
    )
    return Fitting(kind.role, found["row"], found["col"], side, found["z"], options)


def document_of(design: Design) -> Mapping[str, Any]:
    """The design as the document its file holds; reading that gives the same design again."""
    drawn, after_ramps = _kinds_in_file()
    return {
        "format": FORMAT,
        "name": design.name,
        "species": design.species.value,
        "panel": {"size_mm": design.panel.size_mm, "squares": design.panel.squares},
        "tray": {
            "wall_mm": design.tray.wall_mm,
            "clearance_mm": design.tray.clearance_mm,
            "round_mm": design.tray.round_mm,
        },
        "levels": [
            {"z": level.z, "wall_panels": level.wall_panels, "plan": _plan_rows(design, level)}
            for level in design.levels
        ],
        **_fittings_in_file(design, drawn),
        "ramps": [_ramp_document(one) for one in design.ramps],
        **_fittings_in_file(design, after_ramps),
        "lid": design.lid,
        **({"room_walls": [*map(str, _in_order(design.room_walls))]} if design.room_walls else {}),
        **({"furniture": furniture_document(design.furniture)} if design.furniture else {}),
        **({"pup_set": True} if design.pup_set else {}),
    }


def _ramp_document(wish: RampWish) -> dict[str, object]:
    return {
        "level": wish.level,
        "row": wish.row,
        "col": wish.col,
        "side": wish.side.value,
        "panels": "auto" if wish.panels is None else wish.panels,
        "overlap_squares": wish.overlap_squares,
        "bend_squares": wish.bend_squares,
    }


def furniture_document(furniture: Furniture) -> dict[str, int]:
    """Counts only where a person said them."""
    said = {key: getattr(furniture, key) for key in _PIECES}
    return {
        "animals": furniture.animals,
        **{key: count for key, count in said.items() if count is not None},
    }


def _in_order(sides: frozenset[Side]) -> list[Side]:
    return [side for side in Side if side in sides]


def _fittings_in_file(design: Design, kinds: list[Kind]) -> dict[str, Any]:
    """Fittings by the keys of their kinds."""
    found: dict[str, Any] = {}
    for kind in kinds:
        given = design.of_kind(kind.role)
        if kind.auto and kind.role not in design.by_hand:
            found[kind.in_file] = "auto"
        elif given or kind.always:
            found[kind.in_file] = [fitting_document(one, kind) for one in given]
    return found


def fitting_document(fitting: Fitting, kind: Kind) -> dict[str, Any]:
    """One fitting as files and commands tell it."""
    values = {"row": fitting.row, "col": fitting.col, "z": fitting.z, "side": fitting.side}
    return {**{key: values[key] for key in kind.written}, **dict(fitting.options)}


def _plan_rows(design: Design, level: Level) -> list[str]:
    return [
        "".join("#" if Cell(row, col) in level.cells else "." for col in range(design.cols))
        for row in range(design.rows)
    ]
