"""The demo's designs: footprints of many shapes, and one that is not finished."""

from typing import Any

from habitats.structure.read import FORMAT


def _document(
    name: str, panel_mm: int, *levels: tuple[int, int, list[str]], **more: Any
) -> dict[str, Any]:
    """The file of a design; each level is its height, its walls' tiers and its plan."""
    return {
        "format": FORMAT,
        "name": name,
        "species": more.pop("species", "guinea_pig"),
        "panel": {"size_mm": panel_mm, "squares": more.pop("squares", 9)},
        "tray": {"wall_mm": 150, "clearance_mm": 5, "round_mm": 5},
        "levels": [{"z": z, "wall_panels": walls, "plan": plan} for z, walls, plan in levels],
        **more,
    }


DESIGNS = (
    _document("Bay window", 352, (0, 1, ["##..##", "##..##", "######"])),
    _document(
        "Long wall with a loft",
        352,
        (0, 1, ["######", "######"]),
        (1, 1, ["....##", "....##"]),
        ramps=[{"level": 1, "row": 1, "col": 4, "side": "W"}],
    ),
    _document("Under the stairs", 346, (0, 1, ["#####", ".###.", ".###."])),
    _document("Round the pillar", 402, (0, 1, ["####", "#..#", "####"]), squares=10),
    _document(
        "Rabbit yard",
        498,
        (0, 2, ["######", "######", "####..", "####.."]),
        (1, 1, ["##....", "......", "......", "......"]),
        squares=12,
        species="rabbit",
        ramps=[{"level": 1, "row": 0, "col": 1, "side": "E"}],
    ),
    _document("Rabbit room", 512, (0, 2, ["######"] * 4), squares=12, species="rabbit"),
    _document(
        "Quarantine pair",
        358,
        (0, 1, ["####", "####"]),
        dividers=[
            {"z": 0, "row": 0, "col": 1, "side": "E"},
            {"z": 0, "row": 1, "col": 1, "side": "E"},
        ],
        lid=True,
    ),
    _document(
        "Three floors by the door",
        352,
        (0, 1, ["########", "########"]),
        (1, 1, ["####....", "####...."]),
        (2, 1, ["#.......", "#......."]),
        ramps=[
            {"level": 1, "row": 1, "col": 3, "side": "E"},
            {"level": 2, "row": 0, "col": 0, "side": "E"},
        ],
    ),
    _document("Landing, not finished", 352, (0, 1, ["###..", "##..#", "....#"])),
)
