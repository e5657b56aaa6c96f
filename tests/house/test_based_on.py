"""Every form that changes something carries what it was based on, or a reason why it need not.

A new address that takes a form fails here until somebody has decided (`people/views/based_on.py`).
"""

import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from django.urls import URLPattern, URLResolver, get_resolver

TEMPLATES = Path(__file__).resolve().parents[2] / "templates"

MAKES = "makes something new, kept once by its key; nothing that stands is changed"
APPENDS = "appends what happened, kept once by its key; another's act makes it no less true"
LEDGER = (
    "the ledger holds each act against what is there, under its lock: what is not there any more "
    "is refused or asked about"
)
SAYS_WHAT_IT_WANTS = "says how it is to be, so a second one finds it so and changes nothing"
OWN = "only the person logged in has it"
PRINTS = "prints; changes nothing"
CHOSEN_FROM = "carries a mark of what was chosen from, and is refused once that differs"
LINK = "whoever has the link ticks and reads; the last word on a step counts, as everywhere"

NEEDS_NONE = {
    # Log-in, and what is one's own
    "login": OWN,
    "logout": OWN,
    "own_settings": OWN,
    "own_password": OWN,
    "own_second_factor": OWN,
    "new_recovery_codes": OWN,
    "drop_second_factor": OWN,
    "end_device": OWN,
    "end_other_devices": OWN,
    "log_in_code": "changes nothing but who is logged in here",
    "forgotten": "changes nothing",
    "choose_password": "its link is signed over the password that it replaces",
    "password_link": "changes nothing",
    "end_all_devices": "ends what there is, and a second time nothing",
    "lift_second_factor": "takes away what there is, and a second time nothing",
    "renew_calendar": OWN,
    "revoke_calendar": OWN,
    "builds:read_overtaken": OWN,
    "see_mended": OWN,
    # Hides a line on Today, or shows it again
    "close_set_up": "the same whatever came between",
    "reopen_set_up": "the same whatever came between",
    # What begins
    "new_person": MAKES,
    "new_home": MAKES,
    "new_absence": MAKES,
    "end_absence": APPENDS,
    "new_enclosure": MAKES,
    "new_animal": MAKES,
    "new_intake": MAKES,
    "new_trace": MAKES,
    "new_adopter": MAKES,
    "new_adoption": MAKES,
    "new_wish": MAKES,
    "new_pool": MAKES,
    "new_programme": MAKES,
    "new_linen_kind": MAKES,
    "new_linens": MAKES,
    "import_csv": MAKES,
    "builds:new_design": MAKES,
    "builds:import_design": MAKES,
    "builds:copy_design": MAKES,
    "builds:cut_design": MAKES,
    "builds:new_build": MAKES,
    # Carries the moves that were shown, and refuses where they are others now
    "builds:placing": SAYS_WHAT_IT_WANTS,
    "builds:plan_build_proposed": SAYS_WHAT_IT_WANTS,
    "builds:unite_proposed": SAYS_WHAT_IT_WANTS,
    "builds:new_build_day": MAKES,
    "builds:new_batch": MAKES,
    "builds:add_line": MAKES,
    "builds:add_builds": MAKES,
    "builds:copy_starter": MAKES,
    "builds:cut_build": MAKES,
    "builds:new_kit_link": MAKES,
    "builds:new_place": MAKES,
    "builds:new_item": MAKES,
    "builds:new_supplier": MAKES,
    "builds:new_pack": MAKES,
    "builds:new_sheet_kind": MAKES,
    "builds:new_offcut": MAKES,
    # What happened
    "weigh_animal": APPENDS,
    "birth": APPENDS,
    "routine_checks": APPENDS,
    "new_health_entry": APPENDS,
    "report_animal": APPENDS,
    "correct_health_entry": APPENDS,
    "new_treatment": APPENDS,
    "stop_treatment": APPENDS,
    "give_dose": APPENDS,
    "record_dose": APPENDS,
    "bonding": APPENDS,
    "builds:kit_adoption": APPENDS,
    "adoption_visit": APPENDS,
    "adoption_home": APPENDS,
    "spot_clean": APPENDS,
    "measure_linen": APPENDS,
    "new_shrink_test": APPENDS,
    "tick_trace": APPENDS,
    "builds:acts": APPENDS,
    "builds:report_panel_size": APPENDS,
    "builds:note_build": APPENDS,
    "builds:photo_build": APPENDS,
    "builds:report_shortage": APPENDS,
    "builds:tick_step": APPENDS,
    "builds:untick_step": APPENDS,
    "builds:start_step": APPENDS,
    "builds:weigh_kit": APPENDS,
    "new_load": "a linen that another washed meanwhile is no longer soiled, and refused by name",
    "let_be": "names its objections by key: one that is no longer said is refused",
    # The store
    "builds:item_act": LEDGER,
    "builds:delivery": LEDGER,
    "builds:pull_build_act": LEDGER,
    "builds:pull_batch_act": LEDGER,
    "builds:mark_cut": "carries the plan that was cut; another plan found meanwhile is told",
    "builds:count_place": "carries what was thought to be there; a movement meanwhile is told",
    # What is so, whoever says it first
    "lived_together_here": SAYS_WHAT_IT_WANTS,
    "strike_weighing": SAYS_WHAT_IT_WANTS,
    "strike_adopter_death": SAYS_WHAT_IT_WANTS,
    "hand_on": "each row is asked under its lock whether it can still go there",
    "merge_adopter": CHOSEN_FROM,
    "merge_animal": CHOSEN_FROM,
    "merge_home": CHOSEN_FROM,
    "merge_person": CHOSEN_FROM,
    "undo": "asks under a lock what was built on the act since, and says so",
    "unlock_person": SAYS_WHAT_IT_WANTS,
    "first_passwords": SAYS_WHAT_IT_WANTS,
    "home_people": SAYS_WHAT_IT_WANTS,
    "close_wish": SAYS_WHAT_IT_WANTS,
    "leave_home": SAYS_WHAT_IT_WANTS,
    "put_programme_away": SAYS_WHAT_IT_WANTS,
    "set_aside_linens": SAYS_WHAT_IT_WANTS,
    "import_check": "taken in once, under a lock; the second finds it taken in",
    "drop_import": SAYS_WHAT_IT_WANTS,
    "builds:archive_design": SAYS_WHAT_IT_WANTS,
    "builds:unarchive_design": SAYS_WHAT_IT_WANTS,
    "builds:remove_line": SAYS_WHAT_IT_WANTS,
    "builds:plan_batch_builds": "plans up to what the batch asks for, so a second one plans none",
    "builds:revoke_kit_link": SAYS_WHAT_IT_WANTS,
    "builds:write_off_offcut": "an offcut ends once: the second is told that it is gone",
    "builds:stop_search": SAYS_WHAT_IT_WANTS,
    "builds:stop_placing_run": SAYS_WHAT_IT_WANTS,
    "builds:placing_run_again": "a question is worked out once at a time: who asks too joins it",
    "builds:search_on": "one search a job at a time; the better plan is kept, whoever asked",
    # The drawing board
    "builds:step": "carries the revision it was meant for, `base`",
    "builds:undo": "carries the revision it was meant for, `base`",
    "builds:redo": "carries the revision it was meant for, `base`",
    "builds:change_step": "carries the revision it was meant for, `base`",
    "builds:change_undo": "carries the revision it was meant for, `base`",
    "builds:change_redo": "carries the revision it was meant for, `base`",
    "builds:change_again": "carries the revision it was meant for, `base`",
    # Paper and links
    "linen_labels": PRINTS,
    "builds:packet": PRINTS,
    "builds:packet_pdf": PRINTS,
    "builds:build_packet": PRINTS,
    "builds:build_packet_pdf": PRINTS,
    "builds:adopter_acts": LINK,
    "builds:adopter_tick": LINK,
    "builds:adopter_untick": LINK,
    "builds:adopter_reading": LINK,
}


def named(resolver: URLResolver, prefix: str = "") -> Iterator[tuple[str, object]]:
    for one in resolver.url_patterns:
        if isinstance(one, URLPattern):
            yield f"{prefix}{one.name}", one.callback
        else:
            yield from named(one, f"{one.namespace}:" if one.namespace else prefix)


def takes_forms(view) -> bool:
    """Whether it may be posted to: what its `require_…` says, or a class."""
    while view is not None:
        if hasattr(view, "view_class"):
            return hasattr(view.view_class, "post")
        for cell in getattr(view, "__closure__", None) or ():
            if isinstance(cell.cell_contents, (list, tuple)) and "POST" in cell.cell_contents:
                return True
        view = getattr(view, "__wrapped__", None)
    return False


VIEWS = dict(named(get_resolver()))
POSTING = sorted(name for name, view in VIEWS.items() if takes_forms(view))
BASED_ON = {name for name, view in VIEWS.items() if hasattr(view, "facts_of")}
FORM = re.compile(r'<form(?=[^>]*method="post")(?:[^>"]|"[^"]*")*>')
ACTION = re.compile(r"""action="\{% url '([^']+)'""")
INCLUDED = re.compile(r"""\{% include "([^"]+)\"""")


@pytest.mark.parametrize("name", POSTING)
def test_every_address_that_takes_a_form_carries_what_it_was_based_on_or_says_why_not(name) -> None:
    assert (name in BASED_ON) != (name in NEEDS_NONE), (
        "say with @based_on what its form is based on, or here why it need not"
    )


def test_the_reasons_are_for_addresses_that_there_are() -> None:
    assert set(NEEDS_NONE) <= set(POSTING)
    assert len(POSTING) > 100


def forms() -> Iterator[tuple[str, str, str]]:
    """Each form of each template: the template, the tag, and what stands in it."""
    for path in sorted(TEMPLATES.rglob("*.html")):
        text = path.read_text()
        for found in FORM.finditer(text):
            end = text.find("</form>", found.end())
            inside = text[found.end() : end]
            for include in INCLUDED.findall(inside):
                inside += (TEMPLATES / include).read_text()
            yield str(path.relative_to(TEMPLATES)), found[0], inside


@pytest.mark.parametrize(("template", "tag", "inside"), list(forms()))
def test_every_form_in_a_template_carries_it(template: str, tag: str, inside: str) -> None:
    action = ACTION.search(tag)
    if action and action[1] in BASED_ON:
        own = "{% basis %}" in inside
        assert own or f'{{% basis "{action[1]}"' in inside, f"{template}: {tag}"
    elif "action=" not in tag:
        assert "{% basis %}" in inside, f"{template}: {tag}"
