"""Pure: what to buy. Packs that cover a need at least cost, and how much of a roll is cut off."""
