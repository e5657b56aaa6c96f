"""Who may live together. Figures: the trade's guidance, each named beside its check."""

from dataclasses import replace
from datetime import date, timedelta

import pytest

from habitats.source import Known, Source
from habitats.welfare.companion import (
    Castration,
    QuarantineSpan,
)
from habitats.welfare.company import company
from habitats.welfare.objection import OverrideTerms, Severity
from tests.support.companions import (
    TODAY,
    days_ago,
    days_ahead,
    make_boar,
    make_buck,
    make_pig,
    make_pup,
    make_rabbit,
)
from tests.support.company import castrated_days_ago, codes, the

# Swiss animal protection ordinance (TSchV, SR 455.1), Annex 2 Table 1: never singly.
NEVER_SINGLY = Source("TSchV (SR 455.1)", Known.SECOND_HAND)


# --- Nothing to say ---


def test_two_grown_sows_may_live_together() -> None:
    assert company([make_pig("ida"), make_pig("nut")], TODAY) == ()


def test_an_empty_group_has_no_objections() -> None:
    assert company([], TODAY) == ()


def test_two_animals_with_one_ref_are_refused() -> None:
    with pytest.raises(ValueError, match="same ref"):
        company([make_pig("ida"), make_pig("ida")], TODAY)


# --- After castration: 42 days (veterinary guidance, second-hand) ---


def test_a_castration_of_41_days_is_blocked_with_an_entire_sow() -> None:
    objection = the("castration_wait", castrated_days_ago(41), make_pig())

    assert objection.severity is Severity.BLOCK
    assert objection.changes_on == days_ahead(1)
    assert objection.becomes is None
    assert objection.sentence.replace("\xa0", " ").endswith(
        "Allowed from 2 March 2026, unless another reason remains."
    )


def test_a_castration_of_42_days_is_allowed() -> None:
    assert company([castrated_days_ago(42), make_pig()], TODAY) == ()


def test_the_wait_holds_for_bucks_as_for_boars() -> None:
    assert codes(make_buck(castration=Castration(days_ago(41))), make_rabbit()) == {
        "castration_wait"
    }
    assert codes(make_buck(castration=Castration(days_ago(42))), make_rabbit()) == set()


def test_castrated_before_maturity_needs_no_wait() -> None:
    early = make_pup(30, castration=Castration(days_ago(12), before_maturity=True))

    assert company([early, make_pig()], TODAY) == ()


def test_castrated_before_maturity_at_a_year_is_not_believed() -> None:
    late = make_boar(castration=Castration(days_ago(5), before_maturity=True))

    assert "too old for that" in the("castration_wait", late, make_pig()).sentence


def test_a_castration_without_a_day_counts_as_not_waited_for() -> None:
    objection = the("castration_wait", make_boar(castration=Castration(None)), make_pig())

    assert objection.changes_on is None
    assert "the day is not recorded" in objection.sentence


def test_a_castration_to_come_counts_from_its_day() -> None:
    planned = make_boar(castration=Castration(days_ahead(10)))

    assert the("entire_male", planned, make_pig()).changes_on == days_ahead(52)


def test_an_entire_boar_may_live_with_a_spayed_sow() -> None:
    assert company([make_boar(), make_pig(castration=Castration(None))], TODAY) == ()


# --- Species, quarantine, RHD ---


def test_a_rabbit_and_a_guinea_pig_are_blocked_and_want_a_second_confirmation() -> None:
    # RSPCA advice: rabbits and guinea pigs are not kept together.
    objection = the("two_species", make_pig(), make_rabbit())

    assert objection.severity is Severity.BLOCK
    assert objection.override is OverrideTerms.SECOND_CONFIRMATION
    assert objection.changes_on is None


def test_quarantine_at_intake_blocks_14_days_and_warns_to_21() -> None:
    # Guidance for rescues, second-hand: 14 days at least, 21 advised.
    new = make_pig("new", quarantine=QuarantineSpan(TODAY))

    first = the("quarantine", new, make_pig())
    later = the("quarantine_short", new, make_pig(), today=days_ahead(14))

    assert first.override is OverrideTerms.SECOND_CONFIRMATION
    assert (first.changes_on, first.becomes) == (days_ahead(14), Severity.WARNING)
    assert (later.changes_on, later.becomes) == (days_ahead(21), None)
    assert codes(new, make_pig(), today=days_ahead(21)) == set()


def test_a_quarantine_at_intake_cannot_be_set_shorter_than_14_days() -> None:
    new = make_pig("new", quarantine=QuarantineSpan(TODAY, until=days_ahead(3)))

    assert the("quarantine", new, make_pig()).changes_on == days_ahead(14)


def test_an_illness_without_an_end_blocks_until_a_vet_clears_it() -> None:
    ill = make_pig("ill", quarantine=QuarantineSpan(days_ago(90), why="illness"))

    objection = the("quarantine", ill, make_pig())

    assert objection.changes_on is None
    assert "until a vet clears it" in objection.sentence


def test_animals_in_quarantine_together_do_not_disturb_each_other() -> None:
    van = QuarantineSpan(TODAY, together="van")

    assert codes(make_pig("a", quarantine=van), make_pig("b", quarantine=van)) == set()
    assert codes(
        make_pig("a", quarantine=van), make_pig("b", quarantine=QuarantineSpan(TODAY))
    ) == {"quarantine"}


def test_a_pup_born_in_quarantine_stays_with_its_mother() -> None:
    mother = make_pig(quarantine=QuarantineSpan(days_ago(6)))

    assert codes(mother, make_pup(5, 120)) == set()


def test_rabbits_exposed_to_rhd_need_14_days_and_a_negative_sample() -> None:
    def exposed(days: int, sampled: int | None = None) -> object:
        negative = None if sampled is None else days_ago(sampled)
        return make_rabbit(rhd_exposed_on=days_ago(days), rhd_negative_on=negative)

    other = make_rabbit("ash")
    assert codes(exposed(13, 0), other) == {"rhd"}
    assert codes(exposed(14), other) == {"rhd"}
    assert codes(exposed(14, 14), other) == {"rhd"}
    assert codes(exposed(14, 5), other) == {"rhd_sampled_early"}
    assert codes(exposed(14, 0), other) == set()


def test_rhd_without_a_sample_names_no_day_on_which_it_ends() -> None:
    objection = the("rhd", make_rabbit(rhd_exposed_on=TODAY), make_rabbit("ash"))

    assert objection.changes_on is None
    assert objection.override is OverrideTerms.SECOND_CONFIRMATION


def test_rabbits_exposed_on_the_same_day_may_stay_together() -> None:
    pair = [make_rabbit(ref, rhd_exposed_on=days_ago(3)) for ref in "ab"]

    assert codes(*pair) == set()


# --- Company ---


def test_one_alone_is_blocked_where_the_rule_set_forbids_it() -> None:
    (objection,) = company([make_pig()], TODAY, never_singly=NEVER_SINGLY)

    assert objection.code == "never_alone"
    assert objection.severity is Severity.BLOCK
    assert objection.source is NEVER_SINGLY


def test_one_alone_is_a_warning_where_no_rule_set_forbids_it() -> None:
    assert the("alone", make_pig()).severity is Severity.WARNING


def test_one_with_another_species_only_is_alone() -> None:
    assert [one.code for one in company([make_pig(), make_rabbit()], TODAY)] == [
        "two_species",
        "alone",
        "alone",
    ]


def test_quarantine_of_one_needs_a_recorded_reason() -> None:
    # TSchV and 2. Tierhaltungsverordnung: never singly; quarantine of one with a reason.
    apart = make_pig(quarantine=QuarantineSpan(TODAY))
    noted = replace(apart, quarantine=QuarantineSpan(TODAY, note="ringworm suspected"))

    (wanted,) = company([apart], TODAY, never_singly=NEVER_SINGLY)

    assert (wanted.code, wanted.override) == ("alone_in_quarantine", OverrideTerms.REASON)
    assert company([noted], TODAY, never_singly=NEVER_SINGLY) == ()


def test_a_quarantine_to_come_with_a_reason_ends_being_blocked_for_being_alone() -> None:
    planned = make_pig(quarantine=QuarantineSpan(days_ahead(3), note="ringworm suspected"))

    (objection,) = company([planned], TODAY, never_singly=NEVER_SINGLY)

    assert (objection.code, objection.changes_on) == ("never_alone", days_ahead(3))


def test_two_entire_males_are_a_warning() -> None:
    # Common practice, no source.
    assert the("two_males", make_boar("bo"), make_boar("max")).source.known is Known.PRACTICE
    assert codes(make_boar("bo"), castrated_days_ago(1, ref="max")) == set()


def test_an_unknown_sex_counts_as_whatever_could_breed() -> None:
    who = make_pig("who", sex=None)

    assert codes(who, make_pig()) == {"sex_unknown"}
    assert codes(who, make_boar()) == {"sex_unknown"}
    assert codes(who, make_pig("eve", sex=None)) == {"sex_unknown"}
    assert codes(who, castrated_days_ago(60)) == set()


def test_unsexed_pups_are_warned_of_before_they_breed() -> None:
    pups = [make_pup(15, 180, ref, sex=None) for ref in ("pip", "tip")]

    objection = the("sex_unknown_young", *pups)

    assert (objection.severity, objection.becomes) == (Severity.WARNING, Severity.BLOCK)


# --- Dates and keys ---


def test_on_the_day_that_its_last_block_names_a_group_is_allowed() -> None:
    new = make_pig("new", quarantine=QuarantineSpan(TODAY))
    group = [castrated_days_ago(2), make_pig(), new]

    blocks = [one for one in company(group, TODAY) if one.severity is Severity.BLOCK]

    assert max(one.changes_on for one in blocks) == days_ahead(40)
    assert Severity.BLOCK not in {one.severity for one in company(group, days_ahead(40))}


def test_time_does_not_help_an_entire_boar() -> None:
    assert the("entire_male", make_boar(), make_pig()).changes_on is None


def test_an_override_of_one_quarantine_is_none_of_the_next() -> None:
    def key(since: date) -> str:
        new = make_pig("new", quarantine=QuarantineSpan(since))
        return the("quarantine", new, make_pig()).key

    assert key(days_ago(1)) != key(TODAY)


def test_keys_stay_from_day_to_day_and_in_any_order_of_the_group() -> None:
    group = [make_boar("bo"), make_boar("max"), make_pig()]

    today = {one.key for one in company(group, TODAY)}
    tomorrow = {one.key for one in company(group[::-1], TODAY + timedelta(days=1))}

    assert today == tomorrow
    assert len(today) == 3


def test_blocks_come_before_warnings() -> None:
    found = company([make_boar("bo"), make_boar("max"), make_pig()], TODAY)

    assert [one.severity for one in found] == ["block", "block", "warning"]
