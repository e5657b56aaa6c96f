"""The leaflet for builders."""

from builds.leaflets.paper.pictures import cutting_sheets, growing
from builds.leaflets.paper.shared import MORE, TODAY
from builds.leaflets.paper.values import Leaflet, OnScreen, told
from builds.making.cautions import (
    CUT_WIRE,
    HOLD_WALL,
    KNIFE,
    LIFT_TRAY,
    MEASURE,
    NO_ANIMALS,
    TIE_TAILS,
    WIRE_ENDS,
)
from habitats.people.models.people import Person
from habitats.wording import message

BUILDER = Leaflet(
    role=Person.Role.BUILDER,
    part=(
        message(
            "You turn a drawing into an enclosure: you fetch the parts, cut the sheet, put it up "
            "and inspect it."
        ),
        message(
            "Each step is told in words and with a picture, on paper or on your phone. The phone "
            "works in a garage without signal, too."
        ),
    ),
    week=(
        told(
            message(
                "Open %(today)s on your phone. It lists builds of today, pulls to fetch and faults "
                "to mend."
            ),
            today=TODAY,
        ),
        told(
            message(
                "At home, under %(workshop)s and %(builds)s, open your build once. From then on "
                "the phone has its steps without signal."
            ),
            workshop=OnScreen(message("Workshop"), "today"),
            builds=OnScreen(message("Builds"), "builds:builds"),
        ),
        told(
            message(
                "Choose %(pull)s, then %(start)s. Take the parts from the shelves, and record what "
                "you took."
            ),
            pull=OnScreen(message("Pull"), "builds:build"),
            start=OnScreen(message("Start pull")),
        ),
        told(
            message(
                "%(packet)s has plans, measures and steps for the wall beside you. Print it with "
                "%(pdf)s."
            ),
            packet=OnScreen(message("Packet"), "builds:build"),
            pdf=OnScreen(message("Open PDF"), "builds:build_packet"),
        ),
        told(
            message(
                "Cut each sheet in the order of its numbers. When all are cut, choose %(cut)s on "
                "the page of the cutting plan."
            ),
            cut=OnScreen(message("Mark as cut"), "builds:cutting"),
        ),
        told(
            message(
                "Then go step by step. Read the caution first, do the work, and tick the step at "
                "the foot of the screen."
            )
        ),
        told(
            message(
                "A part is missing or broken: choose %(missing)s or %(damaged)s beside it. "
                "Report anything else with %(note)s or %(photo)s."
            ),
            missing=OnScreen(message("Missing")),
            damaged=OnScreen(message("Damaged")),
            note=OnScreen(message("Add note"), "builds:build_step"),
            photo=OnScreen(message("Add photo"), "builds:build_step"),
        ),
        told(
            message(
                "At the end put your hand on every point and choose %(sign)s. Each “no” is mended "
                "first, then all points are inspected again."
            ),
            sign=OnScreen(message("Sign inspection")),
        ),
    ),
    watch=(KNIFE, CUT_WIRE, WIRE_ENDS, TIE_TAILS, HOLD_WALL, LIFT_TRAY, MEASURE, NO_ANIMALS),
    words=(
        "packet",
        "wire-panel",
        "connector",
        "cable-tie",
        "corrugated-sheet",
        "flute",
        "score",
        "slit",
        "sheet-plan",
        "inspection",
    ),
    more=MORE,
    opening=growing,
    reading=cutting_sheets,
)
