"""A reckoning as the document that ``manage.py plan`` prints; every value JSON can hold."""

from typing import Any

from builds.making.blank import Blank
from builds.making.reckoning import Reckoning
from builds.making.step import Step
from builds.making.ties import count_ties
from habitats.structure.kinds import fitting_kinds
from habitats.structure.ramp import Ramp
from habitats.structure.read import fitting_document
from habitats.structure.space import as_cm2, floor_of
from habitats.structure.structure import Structure

Document = dict[str, Any]


def plan_document(reckoning: Reckoning) -> Document:
    """A design reckoned; nothing stands yet, so no connector has to turn."""
    structure = reckoning.structure
    return {
        "floor": _floor(structure),
        "panels": _panels(reckoning),
        "joints": len(structure.joints),
        "connectors_to_turn": [],
        "ties": count_ties(reckoning.parts.ties),
        "blanks": [blank_document(one) for one in reckoning.blanks.blanks],
        "ramps": [_ramp(one) for one in structure.ramps],
        **_worked_out(structure),
        "steps": [step_document(one) for one in reckoning.steps],
        "warnings": [
            *({"code": one.code, "sentence": one.sentence} for one in reckoning.warnings),
            *({"code": "unmade", "sentence": one.sentence} for one in reckoning.blanks.unmade),
        ],
    }


def _floor(structure: Structure) -> Document:
    floor = floor_of(structure)
    return {
        "ground_cm2": as_cm2(floor.ground_mm2),
        "upper_cm2": as_cm2(floor.upper_mm2),
        "levels": [
            {"level": index, "z": level.z, "cm2": as_cm2(area)}
            for index, (level, area) in enumerate(
                zip(structure.design.levels, floor.by_level_mm2, strict=True)
            )
        ],
    }


def _panels(reckoning: Reckoning) -> Document:
    panels = reckoning.parts.panels
    return {
        **{str(role): count for role, count in panels.of.items()},
        "ramp": panels.ramp,
        "doorway": panels.doorway,
        **({"pup": panels.pup} if panels.pup else {}),
        "total": panels.total,
    }


def blank_document(blank: Blank) -> Document:
    return {
        "name": blank.name,
        "width_mm": blank.width_mm,
        "height_mm": blank.height_mm,
        "quantity": blank.quantity,
        "flute": blank.flute.value,
        "turnable": blank.turnable,
        "outline": [list(corner) for corner in blank.outline],
        "slits": [list(line) for line in blank.slits],
        "scores": [list(line) for line in blank.scores],
        "flap_scores": [list(line) for line in blank.flap_scores],
        "holes": [list(hole) for hole in blank.holes],
    }


def _ramp(ramp: Ramp) -> Document:
    return {
        "level": ramp.level,
        "row": ramp.cell.row,
        "col": ramp.cell.col,
        "side": ramp.side.value,
        "length_mm": round(ramp.length_mm),
        "rise_mm": ramp.rise_mm,
        "run_mm": round(ramp.run_mm),
        "slope_deg": round(ramp.slope_deg, 1),
        "panels": ramp.panels,
        "strip": list(ramp.strip),
        "towel": list(ramp.towel),
        "landing_mm": ramp.landing_mm,
        "seat_mm": ramp.seat_mm,
    }


def _worked_out(structure: Structure) -> Document:
    """Fittings that a design may leave to be worked out, by the keys of their kinds."""
    return {
        kind.in_file: [fitting_document(one, kind) for one in structure.of_kind(kind.role)]
        for kind in fitting_kinds()
        if kind.auto
    }


def step_document(step: Step) -> Document:
    return {
        "id": step.id,
        "title": step.title,
        "instructions": list(step.instructions),
        "needs": list(step.needs),
        "adds": [{"what": one.name, "count": one.count} for one in step.adds],
        "tools": [tool.what for tool in step.tools],
        "cautions": list(step.cautions),
        "minutes": step.minutes,
        "people": step.people,
    }
