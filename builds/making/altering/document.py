"""An alteration as the document that ``manage.py plan --from`` prints.

Positions are those of the target's drawing. Where it is laid mirrored, the steps, blanks and
trays tell the enclosure as it will stand: what is drawn east is west there.
"""

from builds.making.altering.alteration import Alteration
from builds.making.altering.linens import Linens
from builds.making.altering.order import Order
from builds.making.altering.refuge import Refuge
from builds.making.altering.trays import TrayFate
from builds.making.document import Document, blank_document, plan_document, step_document
from builds.making.reckoning import Reckoning
from builds.making.step import Step
from habitats.structure.motion import mirrored_cell
from habitats.wording import message

LITTLE_KEPT = 4  # one in so many panels stays: less is hardly an alteration


def alteration_document(target: Reckoning, alteration: Alteration, order: Order) -> Document:
    """The target reckoned, and what it takes to make it out of what stands."""
    plan = plan_document(target)
    return {
        **plan,
        "connectors_to_turn": sorted(
            list(alteration.as_drawn(turn.joint)) for turn in alteration.turns
        ),
        "ties": alteration.new["tie"],
        "blanks": [blank_document(one) for one in alteration.wanted.blanks.blanks],
        "steps": [_step(one, alteration) for one in order.steps],
        "warnings": [*plan["warnings"], *_little_kept(alteration)],
        "stays": alteration.stays,
        "goes_on": alteration.goes_on,
        "comes_off": alteration.comes_off,
        "moved": alteration.moved,
        "new": alteration.new,
        "left_over": alteration.left,
        "laid": _laid(alteration),
        "lifted": alteration.staying.lifted,
        "trays": [_tray(one) for one in alteration.trays],
        "linens": _linens(alteration.linens),
        "refuge": _refuge(order.refuge, alteration),
    }


def _step(step: Step, alteration: Alteration) -> Document:
    return {
        **step_document(step),
        "removes": [{"what": one.name, "count": one.count} for one in step.removes],
        "turns": sorted(list(alteration.as_drawn(turn.joint)) for turn in step.turns),
    }


def _laid(alteration: Alteration) -> Document:
    laying = alteration.laying
    return {
        "mirrored": laying.mirrored,
        "quarter_turns": laying.quarter_turns,
        "shift": [laying.rows, laying.cols],
        "words": laying.words,
    }


def _tray(fate: TrayFate) -> Document:
    return {
        "level": fate.level,
        "from_level": fate.old,
        "how": fate.fate.value,
        "doorways_cut": [
            {"row": cell.row, "col": cell.col, "side": side.value} for cell, side in fate.doorways
        ],
    }


def _linens(linens: Linens) -> Document:
    return {
        "in_use": [
            {
                "name": one.name,
                "size": list(one.size),
                "fits": one.becomes or None,
                "stays": one.stays,
                "could_be_cut_for": one.cut_for,
            }
            for one in linens.fates
        ],
        "new": [{"name": one.name, "size": list(one.size)} for one in linens.new],
    }


def _refuge(refuge: Refuge | None, alteration: Alteration) -> Document | None:
    if refuge is None:
        return None
    cols = alteration.target.design.cols
    mirrored = alteration.laying.mirrored
    return {
        "cells": sorted(
            list(mirrored_cell(cell, cols) if mirrored else cell) for cell in refuge.cells
        ),
        "panels_borrowed": len(refuge.borrowed),
    }


def little_kept(alteration: Alteration) -> str:
    """One sentence where hardly anything stays, with what else is possible; else empty."""
    stood = len(alteration.stands.panels)
    kept = len(alteration.staying.same_places)
    if LITTLE_KEPT * kept >= min(stood, len(alteration.target.panels)):
        return ""
    serve = alteration.moved["panel"] + alteration.moved["doorway"] + alteration.moved["ramp"]
    return message(
        "Only %(kept)d of %(stood)d panels stay where they are, however the drawing is laid. It is "
        "about as much work to take everything down and build it again. %(panels)d panels and "
        "%(connectors)d connectors that come off serve again either way.",
        kept=kept,
        stood=stood,
        panels=serve,
        connectors=alteration.moved["connector"],
    )


def _little_kept(alteration: Alteration) -> list[Document]:
    sentence = little_kept(alteration)
    return [{"code": "little_kept", "sentence": sentence}] if sentence else []
