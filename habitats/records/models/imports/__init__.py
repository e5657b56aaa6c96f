"""Files that were handed in, against what is remembered: what is new, known, or cannot be.

``plan_of`` is the dry run and writes nothing; ``take_in`` writes, all of it or without the faulty
rows, in one transaction.
"""

from habitats.records.models.imports.plan import Arrival, Plan
from habitats.records.models.imports.taking_in import HasFaults, plan_of, take_in

__all__ = ["Arrival", "HasFaults", "Plan", "plan_of", "take_in"]
