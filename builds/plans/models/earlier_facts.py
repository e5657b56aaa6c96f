"""Steps of earlier versions, whose facts do not tell whether a tray's wall is cut.

A divider in one place may meet a tray's wall in one drawing and stand clear of it in another, and
both were known by one key. Now the facts tell it, last of all. A stored plan keeps its facts and
keys; a plan made after it keeps the key of the same work, and has another where the cut differs.
"""

from collections.abc import Iterable, Sequence
from typing import Any, NamedTuple

from builds.making.facts import CUT_AT, CUTTING
from builds.making.step_keys import Coded, key_of

# As plans of those versions keep it: the only tool that such a step takes for a tray's wall alone.
KNIFE = "knife with a fresh blade"


class EarlierStep(NamedTuple):
    """The facts and tools of a step as they are stored."""

    facts: Coded
    tools: list[Any]

    @property
    def facts_now(self) -> Coded:
        """As a plan made today would tell the same work."""
        before, after = self.facts[:CUT_AT], self.facts[CUT_AT:]
        if self.facts[0] not in CUTTING or any(isinstance(one, int) for one in after[:1]):
            return self.facts
        return [*before, int(any(map(_is_knife, self.tools))), *after]


def as_known_before(before: Iterable[EarlierStep], now: Sequence[Coded]) -> list[Coded]:
    """The facts of today, or those of the same work in the earlier plan where it has them."""
    known = {key_of(one.facts_now): one.facts for one in before}
    return [known.get(key_of(facts), facts) for facts in now]


def _is_knife(tool: Any) -> bool:
    """A tool is kept as text, or with its pattern."""
    return (tool.get("pattern") if isinstance(tool, dict) else tool) == KNIFE
