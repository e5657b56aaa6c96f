"""Files that were handed in, against what is remembered: what is new, known, or cannot be.

``dry_run`` says what would happen, and writes nothing; ``take_in`` writes, all of it or without the
faulty rows, in one transaction.
"""

from habitats.records.models.imports.plan import Arrival, Plan
from habitats.records.models.imports.taking_in import HasFaults, dry_run, take_in

__all__ = ["Arrival", "HasFaults", "Plan", "dry_run", "take_in"]
