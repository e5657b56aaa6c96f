"""The animals of an enclosure that is worked on: out, or into a refuge, and back."""

from builds.making import cautions as warn
from builds.making import times, tools
from builds.making.altering import words as say
from builds.making.altering.facts import refuge_facts
from builds.making.altering.refuge import Refuge
from builds.making.assembly import INSPECT
from builds.making.bench import SORT
from builds.making.part_names import PLAIN_PANEL, TIE
from builds.making.step import Added, Step, Task

ANIMALS_OUT = "animals-out"
ANIMALS_BACK = "animals-back"
TIES_AT_BORROWED = 4  # two at each end of a divider that stands for the time of the work


def animals_out(refuge: Refuge | None) -> Step:
    """The animals go into the refuge; None: there is none, and they go out."""
    return _into_a_pen() if refuge is None else _into(refuge)


def _into_a_pen() -> Step:
    words = say.animals_out_words()
    return Step(
        id=ANIMALS_OUT,
        title=words.title,
        instructions=words.instructions,
        needs=(SORT,),
        cautions=(warn.MOVED_ANIMALS.sentence,),
        minutes=times.minutes((1, times.ANIMALS_MOVED)),
        facts=(Task.ANIMALS_OUT,),
    )


def _into(refuge: Refuge) -> Step:
    borrowed = len(refuge.borrowed)
    words = say.refuge_words(len(refuge.cells), refuge.side, borrowed, len(refuge.standing))
    return Step(
        id=ANIMALS_OUT,
        title=words.title,
        instructions=words.instructions,
        needs=(SORT,),
        adds=borrowed_for(refuge),
        tools=(tools.GLOVES, tools.EYES, tools.TIE_CUTTERS),
        cautions=(warn.MOVED_ANIMALS.sentence, warn.TIE_TAILS.sentence),
        minutes=times.minutes((1, times.ANIMALS_MOVED), (borrowed, times.PANEL)),
        facts=(Task.ANIMALS_OUT, *refuge_facts(refuge)),
    )


def borrowed_for(refuge: Refuge | None) -> tuple[Added, ...]:
    """What closes the refuge off for the time of the work; nothing where there is none."""
    if refuge is None or not refuge.borrowed:
        return ()
    return Added(PLAIN_PANEL, len(refuge.borrowed)), Added(TIE, TIES_AT_BORROWED)


def animals_back(refuge: Refuge | None) -> Step:
    """Once the inspection is signed; what closed the refuge off goes."""
    borrowed = borrowed_for(refuge)
    words = say.animals_back_words(len(refuge.borrowed) if refuge else 0)
    return Step(
        id=ANIMALS_BACK,
        title=words.title,
        instructions=words.instructions,
        needs=(INSPECT,),
        removes=borrowed,
        tools=(tools.EYES, tools.TIE_CUTTERS) if borrowed else (),
        cautions=(warn.MOVED_ANIMALS.sentence,),
        minutes=times.minutes((1, times.ANIMALS_MOVED)),
        facts=(Task.ANIMALS_BACK, *(refuge_facts(refuge) if refuge else ())),
    )
