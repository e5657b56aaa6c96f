"""Pure: purchases and costs. Packs that cover a need at least cost, and lengths of cloth.

cheapest(need, packs)                    # a Choice of packs, exact
check_choice(need, packs, choice)        # its faults
buying_list(needs, free, offered)        # packs for many items, by supplier
cost_of(needs, lacking, free, offered)   # what is lacking to buy, and all of it as material
roll_length(pieces, roll_mm)             # cloth off a roll
"""

from builds.buying.buying import BuyingList, BuyLine, Offered, Unfilled, buying_list
from builds.buying.check import check_choice
from builds.buying.cost import Cost, CostLine, Wanted, cost_of, piece_prices
from builds.buying.packs import Choice, Pack, cheapest
from builds.buying.rolls import roll_length

__all__ = [
    "BuyLine",
    "BuyingList",
    "Choice",
    "Cost",
    "CostLine",
    "Offered",
    "Pack",
    "Unfilled",
    "Wanted",
    "buying_list",
    "cheapest",
    "check_choice",
    "cost_of",
    "piece_prices",
    "roll_length",
]
