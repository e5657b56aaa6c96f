"""Two records of one animal, one of which an adopter has: it stays where it is."""

import pytest

from habitats.adoptions.models.steps import adopt, reserve
from habitats.animals.models.merging import contrary, merge
from habitats.common.merging import DOUBLE, KEPT, CannotMerge


def chosen(kept, double, **otherwise):
    return {one.key: KEPT for one in contrary(kept, double)} | otherwise


@pytest.fixture
def adopted(pair, make_reserved, step):
    """Pip is adopted; the same animal was written down again, and is here."""
    _group, (pip, moss), _enclosure = pair
    adopt(make_reserved(pip, moss), step(-2), [])
    pip.refresh_from_db()
    return pip


def test_an_adopted_animal_is_not_made_one_that_is_here(adopted, make_animal, coordinator):
    again = make_animal("Pip")

    with pytest.raises(CannotMerge, match=r"Pip is adopted by Rue Marlow\. Choose that departure"):
        merge(adopted, again, chosen(adopted, again, left_on=DOUBLE), by=coordinator)

    adopted.refresh_from_db()
    assert adopted.left_why == "adopted"


def test_with_that_departure_chosen_it_stays_adopted(adopted, make_animal, coordinator):
    again = make_animal("Pip")

    merge(adopted, again, chosen(adopted, again), by=coordinator)

    adopted.refresh_from_db()
    assert adopted.left_why == "adopted"
    assert adopted.adoptions.get().ended_on is None


def test_one_that_is_reserved_is_not_made_one_that_left(
    pair, make_reserved, make_animal, coordinator, day
):
    _group, (pip, _moss), _enclosure = pair
    make_reserved(pip)
    again = make_animal("Pip", left_on=day(-1), left_why="died")

    with pytest.raises(CannotMerge, match="Pip is reserved for Rue Marlow, or on trial there"):
        merge(pip, again, chosen(pip, again, left_on=DOUBLE), by=coordinator)


def test_two_that_are_both_reserved_are_not_one(pair, make_reserved, make_animal, adopter, step):
    _group, (pip, _moss), _enclosure = pair
    make_reserved(pip)
    again = make_animal("Pip")
    reserve(adopter, [again], step(), notes="")

    with pytest.raises(CannotMerge, match="Both are reserved, on trial or adopted"):
        contrary(pip, again)
