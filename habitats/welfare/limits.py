"""Figures without an authority behind them, which a rescue may set for itself."""

from dataclasses import dataclass

from habitats.welfare.values import Species

QUARANTINE_ADVISED_DAYS = 21


@dataclass(frozen=True, slots=True)
class WelfareLimits:
    """Adjustable defaults. Common practice where no source is named: none is a safety limit.

    No authoritative figure exists for a routine quarantine at intake. Guinea pigs: at least 14
    days, 21 advised, by second-hand quotations; the same is used for rabbits, as common practice.
    """

    guinea_pig_quarantine_days: int = 14
    rabbit_quarantine_days: int = 14
    # A fall between two weighings that calls for a vet.
    fall_percent: float = 10.0
    # The fall is looked for against the heaviest weight of so many days before.
    fall_within_days: int = 28
    # A weight older than this is asked for again: of the grown, and of those that still grow.
    stale_days: int = 28
    stale_young_days: int = 7

    def quarantine_days(self, species: Species) -> int:
        if species is Species.RABBIT:
            return self.rabbit_quarantine_days
        return self.guinea_pig_quarantine_days

    def quarantine_advised_days(self, species: Species) -> int:
        return max(self.quarantine_days(species), QUARANTINE_ADVISED_DAYS)


DEFAULTS = WelfareLimits()
