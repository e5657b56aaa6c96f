"""Who needs how much room, who may live together, and what comes due: pure, from sources."""
