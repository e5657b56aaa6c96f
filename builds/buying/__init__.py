"""Pure: purchases. Packs that cover a need at least cost, and lengths of cloth off a roll.

cheapest(need, packs)                    # a Choice of packs, exact
check_choice(need, packs, choice)        # its faults
buying_list(needs, free, offered)        # packs for many items, by supplier
roll_length(pieces, roll_mm)             # cloth off a roll
"""

from builds.buying.buying import BuyingList, BuyLine, Offered, Unfilled, buying_list
from builds.buying.check import check_choice
from builds.buying.packs import Choice, Pack, cheapest
from builds.buying.rolls import roll_length

__all__ = [
    "BuyLine",
    "BuyingList",
    "Choice",
    "Offered",
    "Pack",
    "Unfilled",
    "buying_list",
    "cheapest",
    "check_choice",
    "roll_length",
]
