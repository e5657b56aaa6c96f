"""Whatever brings animals into a home from a page goes through one door, where it is judged."""

import ast
from pathlib import Path

HOUSE = Path(__file__).resolve().parents[2]
BRINGS = {
    *("move_in", "join", "stand", "hand_on", "take_in", "undo", "unite", "carry_out"),
    *("take_back", "take_in_young"),
}
DOORS = {"at_the_door", "judged_at_the_door", "told_at_the_door"}
# They bring nobody in: what is called so there is something else, or nobody lives in it yet.
OTHERS = {
    "habitats/animals/forms/litters.py": "told by the view that calls it (animals/views/litters)",
    "habitats/enclosures/forms.py": "judged by the view that calls it (residence/views/enclosures)",
    "habitats/residence/forms.py": "judged by the view that calls it (residence/views/handing_on)",
    "habitats/records/views/imports.py": "what a file takes in lives in no group yet",
    "builds/placing/views.py": "carry_out and unite are judged where they are done",
}
KNOWN = (
    "animals/views/animal_events.py",
    "animals/views/joining.py",
    "residence/views/intake.py",
    "residence/views/moving.py",
)


def test_a_litter_is_judged_at_the_door_and_never_refused():
    calls = _calls(HOUSE / "habitats/animals/views/litters.py")

    assert calls & DOORS == {"told_at_the_door"}


def test_animals_that_an_adopter_gives_back_pass_the_door():
    assert {"end", "at_the_door"} <= _calls(HOUSE / "habitats/adoptions/views/steps.py")


def _calls(path):
    tree = ast.parse(path.read_text())
    return {
        node.func.id
        for node in ast.walk(tree)
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name)
    }


def test_every_page_that_brings_animals_into_a_home_is_judged_at_the_door():
    pages = [
        path
        for app in ("habitats", "builds")
        for path in (HOUSE / app).rglob("*.py")
        if {"views", "views.py", "forms", "forms.py", "placing"} & set(path.parts)
    ]
    bringing = {
        path.relative_to(HOUSE).as_posix(): _calls(path) for path in pages if _calls(path) & BRINGS
    }

    past = {name for name, calls in bringing.items() if not calls & DOORS}

    assert {f"habitats/{one}" for one in KNOWN} <= bringing.keys()
    assert past == set(OTHERS)
