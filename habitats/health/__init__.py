"""The health log: what vets found and wrote, doses that are due and given, routine checks."""
