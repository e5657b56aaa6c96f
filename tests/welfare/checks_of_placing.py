"""A judge of offers by brute force: shares no code with what it judges, nor with its rules.

It knows one small world only: grown guinea pigs and rabbits of known sex in enclosures that are a
flat floor, and the Swiss ordinance (TSchV, SR 455.1, Annex 2, Table 1, by second-hand quotations:
0.5 m² for two guinea pigs, 0.2 m² for each further grown one, never one alone). Company: an entire
male with a female that is not spayed is refused; a quarantine keeps all others away. A litter is a
mother and her young: space for all of them as grown, and no male that can sire with her, who can
conceive again on the day she gave birth. A home may be away, know one species only, have a cat, for
which an enclosure wants a lid, and have no more animals than so many.
"""

from itertools import product

FIRST_TWO_MM2, FURTHER_MM2 = 500_000, 200_000


def floor_for(number):
    return FIRST_TWO_MM2 + FURTHER_MM2 * (number - 2)


def holds(floor_mm2, number):
    return number >= 2 and floor_mm2 >= floor_for(number)


def breed(one, other):
    return {one, other} in ({"male", "female"}, {"male", "litter"})


class World:
    """``places`` by ref, and ``groups`` by the ref of where they live; kinds are words."""

    def __init__(self, places, groups, number, kind, *, in_quarantine):
        self.places, self.groups = places, groups
        self.number, self.kind, self.in_quarantine = number, kind, in_quarantine

    def may(self, ref):
        place, group = self.places[ref], self.groups.get(ref)
        if place["unsafe"] or not place["stands"] or place["suspected"]:
            return False
        home = place["home"]
        if home and (home["closed"] or home["away"] or home["knows"] == "rabbits"):
            return False
        if home and home["cat"] and not place["lid"]:
            return False
        if home and home["animals"] + self.number > home["most_animals"]:
            return False
        if group is None:
            is_full = bool(home) and home["lived_in"] >= home["most"]
            return place["pigs"] and not is_full and holds(place["floor"], self.number)
        living = group["kinds"]
        if not living or not group["pigs"] or group["quarantine"] or self.in_quarantine:
            return False
        if group["suspected"] or any(breed(one, self.kind) for one in living):
            return False
        if any(breed(one, other) for one, other in product(living, living)):
            return False
        return holds(place["floor"], len(living) + self.number)

    def most(self, ref):
        """How many such newcomers have the space, tried one by one up to twenty."""
        living = len(self.groups[ref]["kinds"]) if ref in self.groups else 0
        least = 2 if self.kind == "litter" else 1
        fitting = [n for n in range(least, 21) if holds(self.places[ref]["floor"], living + n)]
        home = self.places[ref]["home"]
        left = home["most_animals"] - home["animals"] if home else 20
        return min(max(fitting, default=0), max(left, 0))


def wrong_with(world, offers):
    """Every fault of an answer, as a word and the enclosure; none for a right one."""
    found = set()
    offered = [one.enclosure for one in (*offers.free, *offers.groups)]
    declined = [one.enclosure for one in offers.declined]
    for ref in world.places:
        if (offered + declined).count(ref) != 1:
            found.add(("told once", ref))
        if ref in offered and not world.may(ref):
            found.add(("refused", ref))
        if ref not in offered and world.may(ref):
            found.add(("left out", ref))
    for one in (*offers.free, *offers.groups):
        if one.takes != world.most(one.enclosure):
            found.add(("takes", one.enclosure))
    for one in offers.free:
        if one.enclosure in world.groups:
            found.add(("not free", one.enclosure))
    for part in (offers.free, offers.groups):
        least = [(len(one.cautions), one.takes) for one in part]
        if least != sorted(least):
            found.add(("order", ""))
    return found
