"""What was drawn is kept step by step, and nothing of it is ever edited."""

import uuid
from dataclasses import replace

import pytest
from django.db import IntegrityError

from habitats.designs.models.designs import Design, DesignRevision, Superseded
from tests.support.designs import make_design


def named(design, name):
    return replace(design.shape(), name=name)


def test_undo_and_redo_go_along_the_chain(make_drawn, coordinator):
    design = make_drawn(name="First")
    design.change(named(design, "Second"), by=coordinator)

    assert design.undo()
    assert design.name == "First"
    assert not design.undo()

    assert design.redo()
    assert Design.objects.get(pk=design.pk).name == "Second"
    assert not design.redo()


def test_a_new_change_puts_the_undone_branch_out_of_reach_and_keeps_its_rows(
    make_drawn, coordinator
):
    design = make_drawn(name="First")
    design.change(named(design, "Dropped"), by=coordinator)
    design.undo()
    design.change(named(design, "Third"), by=coordinator)

    design.undo()
    design.redo()

    assert design.name == "Third"
    assert [one.shape().name for one in design.revisions.all()] == ["First", "Dropped", "Third"]


def test_the_same_step_sent_twice_is_kept_once(make_drawn, coordinator):
    design = make_drawn(name="First")
    idempotency_key = uuid.uuid4()

    kept = design.change(named(design, "Second"), by=coordinator, idempotency_key=idempotency_key)
    again = design.change(named(design, "Second"), by=coordinator, idempotency_key=idempotency_key)

    assert again == kept
    assert design.revisions.count() == 2


def test_a_design_begun_twice_by_one_form_is_one(coordinator):
    idempotency_key = uuid.uuid4()

    first = Design.objects.draw(make_design(), by=coordinator, idempotency_key=idempotency_key)
    again = Design.objects.draw(make_design(), by=coordinator, idempotency_key=idempotency_key)

    assert again == first


def test_a_revision_is_never_edited(make_drawn):
    revision = make_drawn().current

    with pytest.raises(TypeError, match="never edited"):
        revision.save()


def test_the_database_refuses_a_second_revision_of_one_number(make_drawn, coordinator):
    design = make_drawn()

    with pytest.raises(IntegrityError):
        DesignRevision.objects.create(
            design=design,
            number=1,
            document={},
            is_sound=True,
            idempotency_key=uuid.uuid4(),
            made_by=coordinator,
        )


def test_a_draft_remembers_the_last_drawing_that_could_be_made(make_drawn, coordinator):
    design = make_drawn(["##"])
    sound = design.shape()
    design.change(make_design(["#.#"]), by=coordinator)
    design.change(make_design(["#..#"]), by=coordinator)

    assert design.faults()
    assert design.last_sound_shape() == sound


def test_what_was_never_sound_has_no_sound_shape(make_drawn):
    assert make_drawn(["#.#"]).last_sound_shape() is None


def test_codes_are_unlike_each_other_and_unlike_words(make_drawn):
    codes = {make_drawn().code for _ in range(20)}

    assert len(codes) == 20
    assert not set("".join(codes)) & set("AEIOU01L")


def test_who_is_second_is_told_and_overwrites_nothing(make_drawn, coordinator):
    design = make_drawn(name="First")
    stale = Design.objects.get(pk=design.pk)
    design.change(named(design, "Quicker"), by=coordinator)

    with pytest.raises(Superseded):
        stale.change(named(stale, "Slower"), by=coordinator)

    assert Design.objects.get(pk=design.pk).name == "Quicker"
    assert design.revisions.count() == 2


def test_an_undo_of_what_has_moved_on_is_told(make_drawn, coordinator):
    design = make_drawn(name="First")
    design.change(named(design, "Second"), by=coordinator)
    stale = Design.objects.get(pk=design.pk)
    design.undo()

    with pytest.raises(Superseded):
        stale.undo()
