"""The health log of an animal on one page, for a vet or for who adopts it, as PDF.

Nobody who recorded it is named. What has no room stays in the log, and the page says how much.
"""

from collections.abc import Sequence
from datetime import date, datetime, time, timedelta
from typing import NamedTuple

from django.template.loader import render_to_string

from habitats.animals.models.animals import Animal, Weighing
from habitats.common.addresses import address_of
from habitats.common.page import PrintedPage
from habitats.health.models.doses import standing_doses
from habitats.health.models.entries import HealthEntry
from habitats.health.models.treatments import Dose, Treatment, know_days_away
from habitats.welfare.doses import MOST_DAYS_BETWEEN, DoseState, DueDose

STYLE_SHEETS = ("css/print.css", "css/health-print.css")
# Lines of text below the facts of the animal, on Letter, which is shorter; a heading takes two.
LINES, HEADING = 36, 2
LETTERS_A_LINE, LETTERS_A_HEADING = 88, 50
LONGEST_SHOWN = 380  # letters of an entry's words
MOST_TREATMENTS, MOST_TO_FOLLOW, MOST_WEIGHTS = 3, 4, 6
MOST_NOTE_LINES = 8
DAYS_OF_BOXES = 10
ROW_OF_BOXES = 1.4  # lines


class PrintedTreatment(NamedTuple):
    """``given``, ``not_given``, ``no_entry``: how many doses so far.

    ``note``: more of what the vet wrote, line by line. ``boxes``: days to come, today among them
    while a dose is left. ``grid``: for each time of day, whether there is a dose to give on each of
    these days.
    """

    treatment: Treatment
    given: int
    not_given: int
    no_entry: int
    note: Sequence[str] = ()
    boxes: Sequence[date] = ()
    grid: Sequence[tuple[str, Sequence[bool]]] = ()
    more_boxes: bool = False


class PrintedLog(NamedTuple):
    """``left_out``: entries without room on the page; ``more_treatments``: running ones."""

    treatments: Sequence[PrintedTreatment]
    more_treatments: int
    to_follow: Sequence[HealthEntry]
    entries: Sequence[HealthEntry]
    left_out: int
    weights: Sequence[Weighing]


def printed_log(animal: Animal, today: date, now: datetime, *, for_adopter: bool) -> PrintedLog:
    """What matters most first, as far as there is room."""
    running = animal.treatments.running(today, date.max).select_related("animal", "stop")
    found = list(running.latest_first())
    know_days_away(found)
    every = [one for one in found if not one.is_over]
    shown = _with_room(every[:MOST_TREATMENTS])
    more = len(every) - len(shown)
    treatments = [_printed(one, today, now) for one in shown]
    room: float = LINES - sum(_lines_of(one) for one in shown) - HEADING - bool(more)
    to_follow = list(animal.health_entries.to_follow().order_by("again_on", "pk")[:MOST_TO_FOLLOW])
    if to_follow:
        to_follow = to_follow[: max(int(room) - HEADING, 0)]
        room -= HEADING + len(to_follow)
    if for_adopter:
        for number, one in enumerate(treatments):
            treatments[number] = _with_boxes(one, today, now, room)
            room -= _lines_of_boxes(treatments[number])
    weights = list(animal.weighings.standing().latest_first()[:MOST_WEIGHTS])
    weights = weights if room > HEADING else []
    room -= HEADING + 1 if weights else 0
    standing = animal.health_entries.standing().latest_first()
    entries: list[HealthEntry] = []
    for entry in standing[:LINES]:
        room -= 1.4 + _lines(entry.words[:LONGEST_SHOWN])
        if room < 0:
            break
        entries.append(entry)
    return PrintedLog(
        treatments, more, to_follow, entries, standing.count() - len(entries), weights
    )


def _with_room(treatments: Sequence[Treatment]) -> list[Treatment]:
    """The first ones, whole: a treatment without a part of the vet's words would be another."""
    room, found = LINES - HEADING, list[Treatment]()
    for one in treatments:
        room -= _lines_of(one)
        if room < 0 and found:
            break
        found.append(one)
    return found


def note_lines(treatment: Treatment) -> list[str]:
    """More of what the vet wrote, line by line; many lines run on, divided by a stroke."""
    lines = [line.strip() for line in treatment.note.splitlines() if line.strip()]
    return lines if len(lines) <= MOST_NOTE_LINES else [" / ".join(lines)]


def _lines(words: str, letters: int = LETTERS_A_LINE) -> int:
    return sum(max(-(-len(line) // letters), 1) for line in words.split("\n"))


def _lines_of(one: Treatment) -> int:
    times = ", ".join((*one.times, one.vet, "x" * 90))  # days, and how many were given
    heading = HEADING - 1 + _lines(one.drug, LETTERS_A_HEADING)
    note = note_lines(one)
    note = note and [f"{'x' * 30} {note[0]}", *note[1:]]  # after its label
    rest = sum(_lines(line) for line in note) + _lines(one.how_often) + _lines(times)
    return heading + _lines(f"{one.amount} {one.how}") + rest


def _lines_of_boxes(one: PrintedTreatment) -> float:
    rows = len(one.treatment.times) + 1 if one.boxes else 0
    return rows * ROW_OF_BOXES + one.more_boxes


def _printed(treatment: Treatment, today: date, now: datetime) -> PrintedTreatment:
    first = treatment.first_day
    answers = Dose.objects.filter(treatment=treatment).answers(first).get(treatment.pk, {})
    states = [one.state for one in standing_doses(treatment, answers, first, today, now)]
    return PrintedTreatment(
        treatment,
        states.count(DoseState.GIVEN),
        states.count(DoseState.NOT_GIVEN),
        states.count(DoseState.NO_ENTRY) + states.count(DoseState.TOO_LATE),
        note_lines(treatment),
    )


def _with_boxes(one: PrintedTreatment, today: date, now: datetime, room: float) -> PrintedTreatment:
    """For the doses that are left; none where there is no room for all times of day."""
    until, treatment = today + timedelta(days=MOST_DAYS_BETWEEN + 1), one.treatment
    answers = Dose.objects.filter(treatment=treatment).answers(today).get(treatment.pk, {})
    doses = standing_doses(treatment, answers, today, until, now)
    # Without those of today that are late: whether they were given is not known.
    left = {dose.due for dose in doses if dose.state in (DoseState.COMING, DoseState.DUE)}
    days = sorted({due.day for due in left})
    shown = days[:DAYS_OF_BOXES]
    grid = [
        (at, [DueDose(day, time.fromisoformat(at)) in left for day in shown])
        for at in treatment.times
    ]
    boxed = one._replace(boxes=shown, grid=grid, more_boxes=len(days) > len(shown))
    return boxed if _lines_of_boxes(boxed) <= room else one._replace(more_boxes=bool(days))


def health_log_page(**context: object) -> PrintedPage:
    sheets = [address_of(path) for path in STYLE_SHEETS]
    html = render_to_string("health/print.html", {**context, "style_sheets": sheets})
    return PrintedPage(html, {})
