"""Animals for the tests of company, growth and what comes due, and random ones for hypothesis."""

from dataclasses import replace
from datetime import date, timedelta

from hypothesis import strategies as st

from habitats.structure.design import Species
from habitats.welfare.companion import (
    BirthSpan,
    Castration,
    Companion,
    DatedWeight,
    Isolation,
    MaleContact,
    QuarantineSpan,
)
from habitats.welfare.values import Sex

TODAY = date(2026, 3, 1)


def days_ago(days: int) -> date:
    return TODAY - timedelta(days=days)


def days_ahead(days: int) -> date:
    return TODAY + timedelta(days=days)


def make_pig(ref: str = "ida", **facts: object) -> Companion:
    """A grown guinea pig of one year, a sow unless said otherwise."""
    facts = {"sex": Sex.FEMALE, "born": BirthSpan.on(days_ago(365)), **facts}
    return Companion(ref, ref.title(), Species.GUINEA_PIG, **facts)


def make_boar(ref: str = "bo", **facts: object) -> Companion:
    return make_pig(ref, **{"sex": Sex.MALE, **facts})


def make_rabbit(ref: str = "flo", **facts: object) -> Companion:
    """A grown doe of two years, unless said otherwise."""
    facts = {"sex": Sex.FEMALE, "born": BirthSpan.on(days_ago(730)), **facts}
    return Companion(ref, ref.title(), Species.RABBIT, **facts)


def make_buck(ref: str = "max", **facts: object) -> Companion:
    return make_rabbit(ref, **{"sex": Sex.MALE, **facts})


def make_pup(age_days: int, grams: int | None = None, ref: str = "pip", **facts: object):
    """A male pup of Ida's, weighed today if grams are given."""
    weighings = () if grams is None else (DatedWeight(TODAY, grams),)
    born = BirthSpan.on(days_ago(age_days))
    return make_boar(ref, **{"born": born, "weighings": weighings, "mother": "ida", **facts})


# --- Random lives: days within a season around TODAY, so that rules meet each other ---

near_days = st.integers(-100, 40).map(days_ahead)
past_days = st.integers(-100, 0).map(days_ahead)


@st.composite
def births(draw: st.DrawFn) -> BirthSpan:
    earliest = draw(st.integers(-120, 0).map(days_ahead) | st.integers(-900, 0).map(days_ahead))
    return BirthSpan(earliest, earliest + timedelta(days=draw(st.sampled_from([0, 0, 1, 10, 60]))))


@st.composite
def quarantines(draw: st.DrawFn) -> QuarantineSpan:
    since = draw(near_days)
    until = draw(st.none() | st.integers(0, 40).map(lambda days: since + timedelta(days=days)))
    why, note = draw(st.sampled_from(Isolation)), draw(st.sampled_from(["", "mites"]))
    return QuarantineSpan(since, until, why, note, draw(st.sampled_from(["", "van"])))


@st.composite
def contacts(draw: st.DrawFn) -> MaleContact:
    since, last = draw(st.none() | near_days), draw(st.none() | near_days)
    return MaleContact(min(since, last) if since and last else since, last)


castrations = st.builds(Castration, st.none() | near_days, st.booleans())
weighings = st.lists(st.builds(DatedWeight, past_days, st.integers(60, 1400)), max_size=3).map(
    tuple
)


def companions(ref: str, species: Species | None = None) -> st.SearchStrategy[Companion]:
    return st.builds(
        Companion,
        ref=st.just(ref),
        name=st.just(ref.title()),
        species=st.just(species) if species else st.sampled_from(Species),
        sex=st.none() | st.sampled_from(Sex),
        born=st.none() | births(),
        weighings=weighings,
        adult_weight_g=st.none() | st.integers(600, 6000),
        castration=st.none() | castrations,
        contact=st.none() | contacts(),
        lived_with=st.lists(contacts(), max_size=2).map(tuple),
        gave_birth_on=st.none() | near_days,
        mother=st.none() | st.just("a"),
        quarantine=st.none() | quarantines(),
        rhd_exposed_on=st.none() | near_days,
        rhd_negative_on=st.none() | near_days,
    )


@st.composite
def couples(draw: st.DrawFn) -> list[Companion]:
    """A male and a female of one species, many of them young, with all that breeding asks about."""
    species = draw(st.sampled_from(Species))
    male, female = draw(companions("a", species)), draw(companions("b", species))
    age = draw(st.integers(10, 22) if species is Species.GUINEA_PIG else st.integers(50, 72))
    young = BirthSpan(days_ago(age), days_ago(age - draw(st.sampled_from([0, 0, 2]))))
    light = st.builds(DatedWeight, st.integers(0, 4).map(days_ago), st.integers(200, 251))
    male = replace(
        male,
        sex=Sex.MALE,
        born=draw(st.sampled_from([male.born, young, young])),
        weighings=draw(st.just(()) | st.tuples(light) | st.tuples(light)),
    )
    return [male, replace(female, sex=draw(st.sampled_from([Sex.FEMALE, Sex.FEMALE, None])))]


def groups(most: int = 3, species: Species | None = None) -> st.SearchStrategy[list[Companion]]:
    """One to so many animals, called a, b, c; some have a for their mother."""
    return st.integers(1, most).flatmap(
        lambda size: st.tuples(*(companions(ref, species) for ref in "abcdef"[:size])).map(list)
    )


@st.composite
def growing(draw: st.DrawFn, ref: str, species: Species) -> Companion:
    """A young animal that was weighed twice, and may have been born a few days later."""
    age = draw(st.integers(12, 90))
    born = BirthSpan(days_ago(age), days_ago(age - draw(st.sampled_from([0, 0, 3, 10]))))
    grams = draw(st.integers(100, 500)) * (3 if species is Species.RABBIT else 1)
    earlier = DatedWeight(days_ago(10), max(50, grams - draw(st.integers(0, 400))))
    return Companion(
        ref,
        ref.title(),
        species,
        sex=draw(st.sampled_from(Sex)),
        born=born,
        weighings=(earlier, DatedWeight(TODAY, grams)),
        adult_weight_g=draw(st.none() | st.integers(1500, 6000)),
        castration=draw(st.none() | castrations),
        gave_birth_on=draw(st.none() | past_days),
        mother=draw(st.none() | st.just("a")),
    )


def litters(species: Species, most: int = 3) -> st.SearchStrategy[list[Companion]]:
    """One to so many growing animals, called a, b, c."""
    return st.integers(1, most).flatmap(
        lambda size: st.tuples(*(growing(ref, species) for ref in "abcdef"[:size])).map(list)
    )
