"""Sheet plans, labels, pulls and kits on paper."""
