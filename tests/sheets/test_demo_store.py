"""The demo's store: something to plan from, and nothing doubled by a second run."""

from django.core.management import call_command

from builds.models import Batch, Movement, Offcut, SheetKind
from builds.models.demo_store import LINES, OFFCUTS, SHEETS


def test_the_demo_has_a_store_and_a_batch_to_plan(db):
    call_command("demo")

    assert SheetKind.objects.count() == len(SHEETS)
    assert Offcut.objects.in_store().count() == len(OFFCUTS)
    assert Batch.objects.get().lines.count() == len(LINES)


def test_a_second_run_adds_nothing(db):
    call_command("demo")
    call_command("demo")

    assert Movement.objects.count() == len(SHEETS)
    assert Offcut.objects.count() == len(OFFCUTS)
    assert Batch.objects.get().lines.count() == len(LINES)
