"""What a home can take, as the pure package of placing is asked about it."""

from habitats.homes.models.homes import Home
from habitats.placement.values import HomeToFill


def home_to_fill(home: Home, *, is_away: bool) -> HomeToFill:
    """A closed home takes nobody either."""
    return HomeToFill(
        home.code,
        most_enclosures=home.most_enclosures,
        most_animals=home.most_animals,
        isolation_places=home.isolation_places,
        knows=frozenset(home.species) or None,
        is_away=is_away or home.is_closed,
        sides_mm=home.sides_mm,
        other_pets=home.needs_lids,
    )
