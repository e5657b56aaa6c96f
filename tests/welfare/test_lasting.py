"""For how long what is said of a group holds: asked on every day, and compared."""

from datetime import timedelta

from hypothesis import given
from hypothesis import strategies as st

from habitats.welfare.ahead import DueKind, due
from habitats.welfare.alike import alike, verdict_of
from habitats.welfare.companion import DatedWeight
from habitats.welfare.company import company
from habitats.welfare.lasting import LONGEST_DAYS, says_the_same_until
from habitats.welfare.limits import DEFAULTS
from habitats.welfare.outgrowing import class_ages, residents_on
from habitats.welfare.quarantine import in_quarantine
from habitats.welfare.rule_sets import rule_sets
from habitats.welfare.space import judged
from habitats.welfare.values import Resident, Room, Sex, Species
from tests.support.companions import TODAY, couples, days_ago, groups, litters, make_boar, make_pig

ROOM = Room(900_000, 300_000, 450, 0.8, 1800, 600, 300_000)
LAST = TODAY + timedelta(days=150)
CHOOSABLE = {
    species: [one for one in rule_sets() if one.species is species and one.choosable]
    for species in Species
}


def dues_on(animals, day, rules):
    def passes(residents):
        return verdict_of(rules, ROOM, residents).passes

    within = (LAST - day).days
    return due(animals, day, within_days=within, passes=passes, ages=class_ages(rules))


def until(animals, rules):
    dues = dues_on(animals, TODAY, rules)
    return says_the_same_until(animals, TODAY, dues, DEFAULTS, rules=rules, ages=class_ages(rules))


def told(animals, day, rules):
    """All that a reading keeps of a group, but for days that come nearer."""
    residents = residents_on(animals, day)
    verdict = judged(rules, rules.species, ROOM, alike(rules, residents))
    return (
        [(one.key, one.severity) for one in company(animals, day)],
        [
            (one.kind, None if one.undated else one.day, one.animals, str(one.sentence), one.until)
            for one in sorted(dues_on(animals, day, rules), key=lambda one: (one.kind, one.animals))
        ],
        (verdict.passes, verdict.required_mm2, verdict.counted_mm2, verdict.shares_mm2),
        [in_quarantine(one, day, DEFAULTS) for one in animals],
    )


@st.composite
def of_one_species(draw):
    species = draw(st.sampled_from(Species))
    some = draw(st.one_of(groups(3, species), litters(species), couples()))
    rules = draw(st.sampled_from(CHOOSABLE[some[0].species]))
    return some, rules


@given(of_one_species())
def test_nothing_is_told_otherwise_before_that_day(drawn):
    animals, rules = drawn
    end, today = until(animals, rules), told(animals, TODAY, rules)

    assert TODAY < end <= TODAY + timedelta(days=LONGEST_DAYS)
    for ahead in range(1, (end - TODAY).days):
        assert told(animals, TODAY + timedelta(days=ahead), rules) == today


def test_of_grown_animals_it_holds_for_weeks():
    pair = [
        make_pig(ref, weighings=(DatedWeight(days_ago(3), 950),), born=make_pig(ref).born)
        for ref in ("ida", "eve")
    ]

    assert until(pair, CHOOSABLE[Species.GUINEA_PIG][0]) == TODAY + timedelta(days=LONGEST_DAYS)


def test_what_is_due_now_without_a_day_stays_due_without_one():
    boar = make_boar(born=None)
    rules = CHOOSABLE[Species.GUINEA_PIG][0]
    part = next(
        one for one in dues_on([boar, make_pig()], TODAY, rules) if one.kind is DueKind.PART
    )

    assert part.undated


# --- Alike ---

measured = st.builds(
    Resident,
    weight_g=st.none() | st.integers(50, 6000),
    age_days=st.none() | st.integers(0, 400),
    sex=st.none() | st.sampled_from(Sex),
    castrated=st.booleans(),
    with_litter=st.booleans(),
)


@given(rules=st.sampled_from(rule_sets()), residents=st.lists(measured, min_size=1, max_size=5))
def test_animals_that_are_alike_get_the_same_verdict(rules, residents):
    plain = judged(rules, rules.species, ROOM, residents)
    kept = verdict_of(rules, ROOM, residents)

    assert (kept.passes, kept.required_mm2, kept.counted_mm2, kept.clauses) == (
        plain.passes,
        plain.required_mm2,
        plain.counted_mm2,
        plain.clauses,
    )
    assert sum(kept.shares_mm2) == plain.required_mm2
