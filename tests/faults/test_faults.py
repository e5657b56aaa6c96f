"""Faults: appended once, open until mended; and no group moves into what is unsafe."""

import uuid

import pytest
from django.db import IntegrityError, transaction

from habitats.animals.models.stays import move_in
from habitats.common.happened import Elsewhere
from habitats.faults.models.faults import Fault, FaultMended
from habitats.faults.models.safety_checks import Answer, SafetyCheck, record_safety_check
from habitats.readings.models.reading_off import Urgency
from habitats.readings.models.readings import Reading
from habitats.upkeep.places import FloorPoint
from habitats.upkeep.points import points_for
from habitats.upkeep.urgency import FaultUrgency

pytestmark = pytest.mark.django_db


def reading_of(enclosure, today):
    return Reading.objects.fresh(today).get(enclosure=enclosure)


@pytest.fixture
def pair(make_group, make_animal):
    return make_group(make_animal("Pip"), make_animal("Moss"))


def answers(enclosure, **failed):
    """All points of the enclosure, good but those named with their urgency."""
    return [
        Answer(point, FaultUrgency(failed[point.code]) if point.code in failed else None)
        for point in points_for(enclosure.structure())
    ]


def test_no_group_moves_into_an_enclosure_with_an_unsafe_fault(
    loft, pair, report, coordinator, day
):
    report(loft, "wire", "unsafe")

    with pytest.raises(
        Elsewhere, match=r"Loft is not safe: “Sharp wire end”, seen on 9 March 2027\."
    ):
        move_in(pair, loft, day(0), by=coordinator)
    assert not loft.stays.exists()


def test_a_group_moves_in_again_once_it_is_mended(loft, pair, report, coordinator, builder, day):
    fault = report(loft, "wire", "unsafe")
    fault.mend(day(0), by=builder, note="Filed")

    assert move_in(pair, loft, day(0), by=coordinator).enclosure == loft


@pytest.mark.parametrize("urgency", ["soon", "convenient"])
def test_what_is_not_unsafe_keeps_nobody_out(urgency, loft, pair, report, coordinator, day):
    report(loft, urgency=urgency)

    assert move_in(pair, loft, day(0), by=coordinator).enclosure == loft


def test_a_group_that_lives_there_stays_until_somebody_moves_it(
    loft, pair, report, coordinator, today, day
):
    stay = move_in(pair, loft, day(-5), by=coordinator)

    report(loft, "gap", "unsafe")

    stay.refresh_from_db()
    assert stay.is_open
    assert reading_of(loft, today).urgency == Urgency.WRONG


def test_one_of_two_unsafe_faults_mended_keeps_it_closed(loft, pair, report, coordinator, day):
    first = report(loft, "wire", "unsafe")
    report(loft, "gap", "unsafe")
    first.mend(day(0), by=coordinator)

    with pytest.raises(Elsewhere, match="Gap in a wall"):
        move_in(pair, loft, day(0), by=coordinator)


def test_the_same_report_again_changes_nothing(loft, report):
    idempotency_key = uuid.uuid4()

    first, second = (
        report(loft, idempotency_key=idempotency_key),
        report(loft, urgency="unsafe", idempotency_key=idempotency_key),
    )

    assert first == second
    assert Fault.objects.count() == 1


def test_what_was_reported_is_never_edited(loft, report):
    fault = report(loft)
    fault.note = "something else"

    with pytest.raises(TypeError, match="never edited"):
        fault.save()


@pytest.mark.parametrize("state", ["planned", "building", "retired"])
def test_what_does_not_stand_has_no_faults(state, make_enclosure, report):
    with pytest.raises(Elsewhere, match=f"is marked “{state.capitalize()}”"):
        report(make_enclosure(state=state))


def test_mended_twice_the_first_word_stays(loft, report, builder, day):
    fault = report(loft)
    fault.mend(day(-1), by=builder, note="Tied anew")

    fault.mend(day(0), by=builder, note="And again")

    assert FaultMended.objects.get().note == "Tied anew"
    assert not Fault.objects.open().exists()


def test_nothing_is_mended_before_it_was_seen(loft, report, builder, day):
    with pytest.raises(Elsewhere, match="It was seen on 9 March 2027"):
        report(loft).mend(day(-2), by=builder)


def test_the_most_urgent_comes_first_and_of_those_the_oldest(loft, report, day):
    made = [
        report(loft, urgency=urgency, on=day(on))
        for urgency, on in (("soon", -1), ("convenient", -9), ("unsafe", -2), ("soon", -4))
    ]

    assert list(Fault.objects.open().urgent_first()) == [made[2], made[3], made[0], made[1]]


def test_a_place_is_whole_or_not_there(loft, report):
    fault = report(loft, where=FloorPoint(1, 1600, 200))
    fault.pk, fault.idempotency_key, fault.x_mm = None, uuid.uuid4(), None
    fault._state.adding = True

    with pytest.raises(IntegrityError), transaction.atomic():
        fault.save()


def test_a_place_is_told_in_the_words_of_the_enclosure_as_it_stood(loft, report):
    # The upper level's two columns of cells begin at 4 × 355 mm.
    assert (
        report(loft, where=FloorPoint(1, 1600, 200)).where_words() == "upper level, north-west part"
    )
    assert report(loft).where_words() == ""


def test_a_reading_counts_faults_and_forgets_itself_at_each(loft, report, builder, today, day):
    assert reading_of(loft, today).open_faults == 0
    report(loft)
    fault = report(loft, "wire", "unsafe")

    reading = reading_of(loft, today)
    assert (reading.open_faults, reading.unsafe_faults, reading.urgency) == (2, 1, Urgency.WRONG)

    fault.mend(day(0), by=builder)
    reading = reading_of(loft, today)
    assert (reading.open_faults, reading.unsafe_faults, reading.urgency) == (1, 0, Urgency.FINE)


def test_each_failed_point_is_a_fault_and_the_others_are_none(loft, foster, day):
    said = answers(loft, tie="unsafe", tape="convenient")

    check = record_safety_check(loft, said, on=day(0), by=foster)

    assert {(one.kind, one.urgency, one.safety_check) for one in loft.faults.all()} == {
        ("tie", "unsafe", check),
        ("tape", "convenient", check),
    }
    assert check.failed == 2
    assert len(check.answers) == len(said)


def test_a_point_that_still_fails_is_one_fault_unless_it_has_become_more_urgent(loft, foster, day):
    record_safety_check(loft, answers(loft, tie="soon"), on=day(-1), by=foster)
    record_safety_check(loft, answers(loft, tie="soon"), on=day(0), by=foster)
    assert loft.faults.count() == 1

    record_safety_check(loft, answers(loft, tie="unsafe"), on=day(0), by=foster)
    record_safety_check(loft, answers(loft, tie="convenient"), on=day(0), by=foster)
    assert [one.urgency for one in loft.faults.open().urgent_first()] == ["unsafe", "soon"]


def test_the_same_safety_check_again_changes_nothing(loft, foster, day):
    idempotency_key, before = uuid.uuid4(), SafetyCheck.objects.count()

    for _ in range(2):
        record_safety_check(
            loft, answers(loft, tie="soon"), on=day(0), by=foster, idempotency_key=idempotency_key
        )

    assert SafetyCheck.objects.count() == before + 1
    assert loft.faults.count() == 1


def test_a_safety_check_is_due_thirty_days_after_the_last_time(loft, today, day):
    # The house's own default; the fixture's enclosure was checked yesterday.
    dues = reading_of(loft, today).enclosure.due_rows.filter(kind="look")

    assert [one.day for one in dues] == [day(29)]


def test_what_was_never_looked_over_is_overdue(make_home, make_enclosure, today, day):
    enclosure = make_enclosure(home=make_home(), since=day(-100), is_checked=False)

    assert reading_of(enclosure, today).next_due == day(-70)


def test_what_is_stored_or_planned_is_not_looked_over(make_home, make_enclosure, today):
    stored = make_enclosure(is_checked=False)
    planned = make_enclosure(home=make_home(), state="planned", is_checked=False)

    assert reading_of(stored, today).next_due is None
    assert reading_of(planned, today).next_due is None
