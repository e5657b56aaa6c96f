"""Who may open which address: one row an address, and no address without a row.

A new page fails `test_every_address_has_its_row` until somebody has decided, here, who may see it.
`roles` are those besides the coordinator, who may open all. Where an address needs an id, `make`
returns its arguments, and makes what it points at; `method` is how the page is asked for. One
table, so that all that a role may open is read at once; rows stand by the feature that answers.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Any

import pytest
from django.db import transaction
from django.http import HttpResponse
from django.test import Client
from django.urls import URLPattern, URLResolver, get_resolver, reverse

from tests.support.behind_doors import (
    BUILDER,
    COORDINATOR,
    EVERYBODY,
    FOSTER,
    LAUNDRY,
    a_build_day,
    a_follow_up,
    a_kit,
    a_kit_link,
    a_panel_report,
    a_photo,
    a_repair,
    a_step,
    adopting,
    away,
    batching,
    built,
    counted,
    cutting,
    delivered,
    drawing,
    drawn_on,
    enclosed,
    faulty,
    feed,
    for_an_adopter,
    grouped,
    handed_in,
    home_with_an_enclosure,
    homed,
    kind_of_linen,
    labelled,
    left_home,
    loaded,
    no_words_but_an_offcut,
    offcut,
    packed,
    placed,
    placing_run,
    pooled,
    reserved,
    sheet_kind,
    somebody,
    supplying,
    traced,
    wishing,
    with_a_death,
    with_a_dose,
    with_a_drawing_home,
    with_a_follow_up,
    with_a_late_tick,
    with_a_member,
    with_a_programme,
    with_a_stray_photo,
    with_a_treatment,
    with_a_weighing,
    with_an_act,
    with_an_animal,
    with_an_entry,
)
from tests.support.quoted import not_read_at
from tests.support.surnames import surnames_in, words_of


@dataclass(frozen=True)
class Door:
    roles: tuple[str, ...] = ()
    public: bool = False
    method: str = "get"
    make: Callable[[], dict[str, Any]] = dict
    # Besides coordinators only for who made it: the foster of the cast.
    is_makers: bool = False


BOTH = "foster who builds"
DOORS: dict[str, Door] = {
    # --- builds/sources ---
    "builds:sources": Door(EVERYBODY),
    # --- builds/leaflets ---
    "builds:leaflet_pdf": Door(EVERYBODY, make=lambda: {"role": "builder"}),
    # --- builds/search: each finds what is theirs to see ---
    "builds:search": Door(EVERYBODY),
    # --- habitats/people ---
    "login": Door(EVERYBODY, public=True),
    # A phone whose log-in has ended is told so as JSON.
    "who": Door(EVERYBODY, public=True),
    "logout": Door(EVERYBODY, method="post", public=True),
    # Without a password that was right, and without a good link, they lead back or say so.
    "log_in_code": Door(EVERYBODY, public=True),
    "forgotten": Door(EVERYBODY, public=True),
    "choose_password": Door(
        EVERYBODY, public=True, make=lambda: {"uidb64": "MQ", "token": "made-up"}
    ),
    "own_devices": Door(EVERYBODY),
    "end_device": Door(EVERYBODY, method="post", make=lambda: {"pk": 1}),
    "end_other_devices": Door(EVERYBODY, method="post"),
    "own_second_factor": Door(EVERYBODY),
    "new_recovery_codes": Door(EVERYBODY),
    "drop_second_factor": Door(EVERYBODY),
    "access_log": Door(),
    "password_link": Door(method="post", make=lambda: {"pk": somebody().pk}),
    "end_all_devices": Door(method="post", make=lambda: {"pk": somebody().pk}),
    "lift_second_factor": Door(method="post", make=lambda: {"pk": somebody().pk}),
    "own_settings": Door(EVERYBODY),
    "own_data": Door(EVERYBODY),
    "person_data": Door(make=lambda: {"pk": somebody().pk}),
    "erase_person": Door(make=lambda: {"pk": somebody().pk}),
    "own_password": Door(EVERYBODY),
    "words": Door(EVERYBODY, public=True, make=lambda: {"language": "de"}),
    "people": Door(),
    "new_person": Door(),
    "first_passwords": Door(method="post"),
    "person": Door(make=lambda: {"pk": somebody().pk}),
    "merge_person": Door(make=lambda: {"pk": somebody().pk}),
    "unlock_person": Door(method="post", make=lambda: {"pk": somebody().pk}),
    "new_password": Door(make=lambda: {"pk": somebody().pk}),
    # --- habitats/help ---
    "help": Door(EVERYBODY),
    # --- habitats/server: a monitor has no account, and is told grades alone ---
    "server": Door(),
    "health_check": Door(EVERYBODY, public=True),
    # --- habitats/rescue ---
    "rescue": Door(),
    "access_rules": Door(),
    "panel_size": Door(),
    "own_figures": Door(make=lambda: {"species": "rabbit"}),
    "drop_own_figures": Door(method="post", make=lambda: {"species": "rabbit"}),
    "rule_sets": Door((BUILDER, FOSTER)),
    # --- habitats/homes ---
    "new_home": Door(),
    "edit_home": Door(make=homed()),
    "merge_home": Door(make=homed()),
    "home_contact": Door((FOSTER,), make=homed()),
    "home_people": Door(make=homed()),
    "leave_home": Door(method="post", make=left_home),
    "new_absence": Door((FOSTER,), make=homed()),
    "end_absence": Door((FOSTER,), make=away),
    "reopen_home": Door(method="post", make=homed()),
    # --- habitats/enclosures ---
    "enclosures": Door((BUILDER, FOSTER)),
    "new_enclosure": Door(),
    "edit_enclosure": Door(make=enclosed),
    "enclosure_link": Door((BUILDER, FOSTER), make=enclosed),
    # --- habitats/faults ---
    "check_enclosure": Door((BUILDER, FOSTER), make=enclosed),
    "report_fault": Door((BUILDER, FOSTER), make=enclosed),
    "faults": Door((BUILDER,)),
    "fault": Door((BUILDER, FOSTER), make=faulty),
    "fault_photo": Door((BUILDER, FOSTER), make=faulty),
    # --- habitats/animals ---
    "animals": Door((FOSTER,)),
    "new_animal": Door(),
    "animal": Door((FOSTER,), make=with_an_animal),
    "edit_animal": Door(make=with_an_animal),
    "animal_photo": Door((FOSTER,), make=with_an_animal),
    "keep_photo": Door((FOSTER,), method="post", make=with_an_animal),
    "drop_photo": Door(method="post", make=with_an_animal),
    "weigh": Door((FOSTER,)),
    "weigh_animal": Door((FOSTER,), make=with_an_animal),
    "climbing": Door(make=with_an_animal),
    "strike_weighing": Door((FOSTER,), method="post", make=with_a_weighing, is_makers=True),
    "birth": Door(make=with_an_animal),
    "quarantine": Door(make=with_an_animal),
    "lived_together": Door(make=with_an_animal),
    "lived_together_here": Door(method="post"),
    "bonding": Door((FOSTER,), make=with_an_animal),
    "leaving": Door(make=with_an_animal),
    "come_back": Door(method="post", make=with_an_animal),
    "undo": Door(make=with_an_act),
    "merge_animal": Door(make=with_an_animal),
    "new_group": Door(),
    "group": Door((FOSTER,), make=grouped),
    "edit_group": Door(make=grouped),
    "admit": Door(make=grouped),
    "part_from": Door(method="post", make=with_a_member),
    "let_be": Door(method="post", make=grouped),
    "leave_enclosure": Door(method="post", make=grouped),
    # --- habitats/health ---
    "routine_checks": Door((FOSTER,)),
    "health_log": Door((FOSTER,), make=with_an_animal),
    "health_log_pdf": Door((FOSTER,), make=with_an_animal),
    "new_health_entry": Door((FOSTER,), make=with_an_animal),
    "correct_health_entry": Door((FOSTER,), make=with_an_entry, is_makers=True),
    "new_treatment": Door((FOSTER,), make=with_an_animal),
    "treatment": Door((FOSTER,), make=with_a_treatment),
    "stop_treatment": Door((FOSTER,), make=with_a_treatment),
    "give_dose": Door((FOSTER,), method="post", make=with_a_dose),
    "record_dose": Door((FOSTER,), make=with_a_dose),
    # --- habitats/linens ---
    "enclosure_linens": Door((FOSTER,), make=enclosed),
    "change_linens": Door((FOSTER,), make=enclosed),
    "spot_clean": Door((FOSTER,), method="post", make=enclosed),
    "changes": Door((FOSTER,)),
    "laundry": Door((FOSTER, LAUNDRY)),
    "new_load": Door((FOSTER, LAUNDRY), make=pooled),
    "load": Door((FOSTER, LAUNDRY), make=loaded),
    "measure_linen": Door((FOSTER, LAUNDRY), make=labelled),
    "linen_labels": Door((LAUNDRY,)),
    "scan_linen": Door((FOSTER, LAUNDRY)),
    "linen_link": Door((FOSTER, LAUNDRY), make=labelled),
    "linens": Door((LAUNDRY,)),
    "new_linens": Door(),
    "linen_page": Door((LAUNDRY,), make=labelled),
    "say_of_linen": Door(method="post", make=labelled),
    "move_linen": Door(method="post", make=labelled),
    "linen_kinds": Door(),
    "new_linen_kind": Door(),
    "linen_kind": Door(make=kind_of_linen),
    "new_shrink_test": Door(method="post", make=kind_of_linen),
    "put_kind_away": Door(method="post", make=kind_of_linen),
    "pools": Door((LAUNDRY,)),
    "new_pool": Door(),
    "pool_page": Door((LAUNDRY,), make=pooled),
    "edit_pool": Door(make=pooled),
    "new_programme": Door(method="post", make=pooled),
    "put_programme_away": Door(method="post", make=with_a_programme),
    "pool_homes": Door(make=pooled),
    "stop_drawing": Door(method="post", make=with_a_drawing_home),
    "transfer_linens": Door(make=pooled),
    "close_pool": Door(method="post", make=pooled),
    "reopen_pool": Door(method="post", make=pooled),
    # --- habitats/adoptions ---
    "adopters": Door(),
    "new_adopter": Door(),
    "adopter": Door(make=adopting),
    "edit_adopter": Door(make=adopting),
    "erasable_adopters": Door(),
    "adopter_data": Door(make=adopting),
    "erase_adopter": Door(make=adopting),
    "merge_adopter": Door(make=adopting),
    "adoptions": Door(),
    "new_adoption": Door(),
    "adoption": Door(make=reserved),
    "edit_adoption": Door(make=reserved),
    "adoption_visit": Door(make=reserved),
    "adoption_home": Door(make=reserved),
    "adoption_trial": Door(make=reserved),
    "adoption_adopted": Door(make=reserved),
    "adoption_end": Door(make=reserved),
    "adoption_died": Door(make=reserved),
    "strike_adopter_death": Door(method="post", make=with_a_death),
    "adoption_answer": Door(make=with_a_follow_up),
    "adoption_agreement": Door(make=reserved),
    "adoption_receipt": Door(make=reserved),
    "wishes": Door(),
    "new_wish": Door(),
    "wish": Door(make=wishing),
    "edit_wish": Door(make=wishing),
    "close_wish": Door(method="post", make=wishing),
    # --- habitats/traces ---
    "traces": Door((LAUNDRY,)),
    "new_trace": Door(),
    "trace": Door((FOSTER, LAUNDRY), make=traced),
    "trace_pdf": Door((FOSTER, LAUNDRY), make=traced),
    "tick_trace": Door((FOSTER, LAUNDRY), method="post", make=traced),
    "set_aside_linens": Door(method="post", make=traced),
    "close_trace": Door(method="post", make=traced),
    "reopen_trace": Door(method="post", make=traced),
    # --- habitats/residence ---
    "homes": Door((FOSTER,)),
    "home_page": Door((FOSTER,), make=homed()),
    "hand_on": Door(make=homed()),
    "close_home": Door(method="post", make=homed()),
    "home_cards_pdf": Door((FOSTER,), make=lambda: {"code": home_with_an_enclosure()[0].code}),
    "enclosure": Door((BUILDER, FOSTER), make=enclosed),
    "enclosure_state": Door((BUILDER,), method="post", make=enclosed),
    "move_enclosure": Door(make=enclosed),
    "enclosure_card_pdf": Door((FOSTER,), make=enclosed),
    "new_intake": Door(),
    "taken_in": Door(),
    "intake_cards_pdf": Door(),
    "carrier_cards_pdf": Door(),
    "groups": Door(),
    "animal_room": Door(make=with_an_animal),
    "move_group": Door(make=grouped),
    # --- habitats/records ---
    "report": Door(),
    "report_pdf": Door(),
    "report_csv": Door(),
    "import_csv": Door(),
    "import_template": Door(make=lambda: {"kind": "homes"}),
    "import_check": Door(make=handed_in),
    "import_faults": Door(make=handed_in),
    "drop_import": Door(method="post", make=handed_in),
    "export": Door(),
    "export_zip": Door(),
    # --- habitats/board ---
    "home": Door(EVERYBODY),
    "calendar": Door(EVERYBODY),
    "renew_calendar": Door(EVERYBODY, method="post"),
    "revoke_calendar": Door(EVERYBODY, method="post"),
    "calendar_feed": Door(EVERYBODY, public=True, make=feed),
    "space": Door(),
    "space_before": Door(),
    "set_up": Door(),
    "close_set_up": Door(method="post"),
    "reopen_set_up": Door(method="post"),
    "today": Door(EVERYBODY),
    "today_kind": Door((FOSTER,), make=lambda: {"kind": "weigh"}),
    # --- builds/designs ---
    "builds:designs": Door((BUILDER,)),
    "builds:archived_designs": Door((BUILDER,)),
    "builds:new_design": Door(),
    "builds:import_design": Door(),
    "builds:starter_designs": Door(),
    "builds:copy_starter": Door(method="post"),
    "builds:short_link": Door((BUILDER,), make=drawing()),
    "builds:design": Door((BUILDER,), make=drawing()),
    "builds:corner_view": Door((BUILDER,), make=drawing()),
    "builds:design_file": Door((BUILDER,), make=drawing()),
    "builds:blank_file": Door((BUILDER,), make=drawing(number="1", form="svg")),
    "builds:packet": Door((BUILDER,), make=drawing()),
    "builds:packet_pdf": Door((BUILDER,), make=drawing()),
    "builds:rename_design": Door(make=drawing()),
    "builds:copy_design": Door(method="post", make=drawing()),
    "builds:archive_design": Door(method="post", make=drawing()),
    "builds:unarchive_design": Door(method="post", make=drawing()),
    "builds:board": Door(make=drawing()),
    "builds:undo": Door(method="post", make=drawing()),
    "builds:redo": Door(method="post", make=drawing()),
    "builds:step": Door(method="post", make=drawing(step="lid")),
    # --- builds/store ---
    "builds:store": Door((BUILDER,)),
    "builds:store_places": Door((BUILDER,)),
    "builds:store_offcuts": Door((BUILDER,)),
    "builds:new_place": Door(),
    "builds:place": Door((BUILDER,), make=placed),
    "builds:edit_place": Door(make=placed),
    "builds:count_place": Door((BUILDER,), make=placed),
    "builds:put_place_away": Door(method="post", make=placed),
    "builds:new_item": Door(),
    "builds:item": Door((BUILDER,), make=counted()),
    "builds:edit_item": Door(make=counted()),
    "builds:put_item_away": Door(method="post", make=counted()),
    "builds:item_act": Door(make=counted(act="in")),
    "builds:suppliers": Door(),
    "builds:new_supplier": Door(),
    "builds:supplier": Door(make=supplying),
    "builds:edit_supplier": Door(make=supplying),
    "builds:put_supplier_away": Door(method="post", make=supplying),
    "builds:new_pack": Door(make=supplying),
    "builds:delivery": Door(make=supplying),
    "builds:edit_pack": Door(make=packed),
    "builds:put_pack_away": Door(method="post", make=packed),
    "builds:deliveries": Door(),
    "builds:spending": Door(),
    "builds:spending_csv": Door(),
    "builds:stock_worth_csv": Door(),
    "builds:delivered": Door(make=delivered),
    "builds:reverse_delivery": Door(make=delivered),
    "builds:new_sheet_kind": Door(),
    "builds:sheet_kind": Door((BUILDER,), make=sheet_kind),
    "builds:change_sheet_kind": Door(make=sheet_kind),
    "builds:retire_sheet_kind": Door(method="post", make=sheet_kind),
    "builds:new_offcut": Door(),
    "builds:offcut": Door((BUILDER,), make=offcut),
    "builds:write_off_offcut": Door(method="post", make=offcut),
    "builds:store_labels_pdf": Door((BUILDER,), make=no_words_but_an_offcut),
    # --- builds/batches ---
    "builds:design_sheets": Door((BUILDER,), make=drawing()),
    "builds:design_sheets_pdf": Door((BUILDER,), make=drawing()),
    "builds:design_sheet_file": Door((BUILDER,), make=drawing(number="1", form="svg")),
    "builds:cut_design": Door(method="post", make=drawing()),
    "builds:batches": Door((BUILDER,)),
    "builds:new_batch": Door(),
    "builds:batch": Door((BUILDER,), make=batching()),
    "builds:add_line": Door(method="post", make=batching()),
    "builds:add_builds": Door(method="post", make=batching()),
    "builds:remove_line": Door(method="post", make=batching(pk=1)),
    "builds:plan_batch": Door(method="post", make=batching()),
    "builds:cutting": Door((BUILDER,), make=cutting()),
    "builds:progress": Door((BUILDER,), make=cutting()),
    "builds:cutting_build": Door((BUILDER,), make=cutting(number=1)),
    "builds:mark_cut": Door((BUILDER,), make=cutting()),
    "builds:sheets_pdf": Door((BUILDER,), make=cutting()),
    "builds:labels_pdf": Door((BUILDER,), make=cutting()),
    "builds:offcut_labels_pdf": Door((BUILDER,), make=cutting(is_cut=True)),
    "builds:job_sheet_file": Door((BUILDER,), make=cutting(number="1", form="dxf")),
    "builds:stop_search": Door(method="post", make=cutting()),
    "builds:search_on": Door(method="post", make=cutting()),
    "builds:drop_job": Door(method="post", make=cutting()),
    # --- builds/pulls ---
    "builds:pulls": Door((BUILDER,)),
    "builds:pull_build": Door((BUILDER,), make=built()),
    "builds:pull_build_pdf": Door((BUILDER,), make=built()),
    "builds:pull_build_act": Door((BUILDER,), make=built(act="back")),
    "builds:cut_build": Door(method="post", make=built()),
    "builds:pull_batch": Door((BUILDER,), make=batching()),
    "builds:pull_batch_pdf": Door((BUILDER,), make=batching()),
    "builds:pull_batch_act": Door((BUILDER,), make=batching(act="back")),
    "builds:plan_batch_builds": Door(method="post", make=batching()),
    "builds:buying": Door(),
    "builds:buying_csv": Door(),
    # --- builds/building ---
    "builds:alter_enclosure": Door(make=enclosed),
    "builds:change_enclosure": Door(make=drawn_on()),
    "builds:plan_change": Door(make=drawn_on()),
    "builds:change_wishes": Door(make=drawn_on()),
    "builds:change_corner": Door(make=drawn_on()),
    "builds:change_again": Door(method="post", make=drawn_on()),
    "builds:change_undo": Door(method="post", make=drawn_on()),
    "builds:change_redo": Door(method="post", make=drawn_on()),
    "builds:change_step": Door(method="post", make=drawn_on(step="lid")),
    "builds:plan_repair": Door(make=enclosed),
    "builds:retire_enclosure": Door(make=enclosed),
    "builds:builds": Door((BUILDER,)),
    "builds:new_build": Door(),
    "builds:build": Door((BUILDER,), make=built()),
    "builds:build_link": Door((BUILDER,), make=built()),
    "builds:edit_build": Door(make=built()),
    "builds:say_build": Door((BUILDER,), method="post", make=built()),
    "builds:replan_build": Door(make=built()),
    "builds:inspect_build": Door((BUILDER,), make=built()),
    "builds:mend_repair": Door((BUILDER,), make=a_repair),
    "builds:hand_over_build": Door(make=built(state="inspected")),
    "builds:build_packet": Door((BUILDER,), make=built()),
    "builds:build_packet_pdf": Door((BUILDER,), make=built()),
    "builds:service_worker": Door(EVERYBODY, public=True),
    "builds:manifest": Door(EVERYBODY, public=True),
    "builds:no_signal": Door(EVERYBODY, public=True),
    "builds:unsent": Door(EVERYBODY, public=True),
    # A phone whose log-in has ended is told so as JSON.
    "builds:acts": Door((BUILDER,), method="post", public=True, make=built()),
    "builds:ticks": Door((BUILDER,), make=built()),
    "builds:stray_photo": Door((BUILDER,), make=with_a_stray_photo),
    "builds:read_overtaken": Door((BUILDER,), method="post", make=with_a_late_tick),
    "builds:times": Door((BUILDER,)),
    "builds:new_build_day": Door(make=built()),
    "builds:build_day": Door((BUILDER,), make=a_build_day),
    "builds:build_day_entry": Door((BUILDER,), make=a_build_day),
    "builds:edit_build_day": Door(make=a_build_day),
    "builds:delete_build_day": Door(method="post", make=a_build_day),
    "builds:report_panel_size": Door((BUILDER,), make=built()),
    "builds:answer_panel_size": Door(make=a_panel_report),
    "builds:note_build": Door((BUILDER,), make=built()),
    "builds:photo_build": Door((BUILDER,), make=built()),
    "builds:build_photo": Door((BUILDER,), make=a_photo),
    "builds:report_shortage": Door((BUILDER,), make=built()),
    "builds:build_step": Door((BUILDER,), make=a_step),
    "builds:tick_step": Door((BUILDER,), method="post", make=a_step),
    "builds:untick_step": Door((BUILDER,), method="post", make=a_step),
    "builds:start_step": Door((BUILDER,), method="post", make=a_step),
    # --- builds/placing ---
    "builds:placing": Door(),
    "builds:plan_build_proposed": Door(method="post"),
    "builds:unite_proposed": Door(method="post"),
    "builds:placing_run": Door(make=placing_run),
    "builds:stop_placing_run": Door(method="post", make=placing_run),
    "builds:placing_run_again": Door(method="post", make=placing_run),
    # --- builds/kits ---
    "builds:kits": Door((BUILDER,)),
    "builds:kit": Door((BUILDER,), make=a_kit()),
    "builds:pack_kit": Door((BUILDER,), method="post", make=a_kit()),
    "builds:weigh_kit": Door((BUILDER,), method="post", make=a_kit()),
    "builds:kit_linens": Door((BUILDER,), make=a_kit()),
    "builds:kit_adoption": Door(make=a_kit()),
    "builds:kit_set": Door((BUILDER,), make=a_kit()),
    "builds:kit_pdf": Door((BUILDER,), make=a_kit()),
    "builds:hand_over_kit": Door(make=a_kit()),
    "builds:kit_follow_ups": Door(make=a_kit()),
    "builds:ask_kit": Door(make=a_follow_up),
    "builds:new_kit_link": Door(make=a_kit()),
    "builds:revoke_kit_link": Door(method="post", make=a_kit_link),
    "builds:adopter": Door(EVERYBODY, public=True, make=for_an_adopter()),
    "builds:adopter_step": Door(EVERYBODY, public=True, make=for_an_adopter(has_step=True)),
    "builds:adopter_tick": Door(
        EVERYBODY, public=True, method="post", make=for_an_adopter(has_step=True)
    ),
    "builds:adopter_untick": Door(
        EVERYBODY, public=True, method="post", make=for_an_adopter(has_step=True)
    ),
    "builds:adopter_acts": Door(EVERYBODY, public=True, make=for_an_adopter()),
    "builds:adopter_ticks": Door(EVERYBODY, public=True, make=for_an_adopter()),
    "builds:adopter_care": Door(EVERYBODY, public=True, make=for_an_adopter()),
    "builds:adopter_receipt": Door(EVERYBODY, public=True, make=for_an_adopter()),
    "builds:adopter_pdf": Door(EVERYBODY, public=True, make=for_an_adopter()),
    "builds:adopter_reading": Door(EVERYBODY, public=True, method="post", make=for_an_adopter()),
}


def names_of_addresses(resolver: URLResolver, space: str = "") -> Iterator[str]:
    for pattern in resolver.url_patterns:
        if isinstance(pattern, URLPattern):
            assert pattern.name, f"The address {pattern.pattern} has no name."
            yield space + pattern.name
        else:
            inner = f"{space}{pattern.namespace}:" if pattern.namespace else space
            yield from names_of_addresses(pattern, inner)


def asked(client: Client, name: str, door: Door, given: dict[str, Any]) -> list[HttpResponse]:
    """What the address answers, and the page that it leads to; what changed is taken back."""
    with transaction.atomic():
        answer: HttpResponse = getattr(client, door.method)(reverse(name, kwargs=given))
        goes_on = is_answered(answer) and answer.status_code == 302
        answers = [answer, client.get(answer.url)] if goes_on else [answer]
        transaction.set_rollback(True)
    return answers


def is_sent_to_log_in(response: HttpResponse) -> bool:
    return response.status_code == 302 and response.url.startswith(reverse("login") + "?next=")


def is_answered(response: HttpResponse) -> bool:
    refusals = (401, 403, 404, 405, 500)
    return response.status_code not in refusals and not is_sent_to_log_in(response)


def test_every_address_has_its_row():
    assert set(names_of_addresses(get_resolver())) == set(DOORS)


@pytest.mark.parametrize("name", DOORS)
@pytest.mark.usefixtures("surnames", "unprinted")
def test_each_role_opens_its_own_doors_and_no_other_and_reads_no_surname(
    name, cast, client_of, make_person
):
    """In one go, since what stands behind an address is costly to make.

    Each page says, too, the words that its reader's leaflet quotes from it. Who has two roles opens
    the doors of both.
    """
    door = DOORS[name]
    cast[BOTH] = make_person("bo", first_name="Bo", role=f"{BUILDER},{FOSTER}")
    given = door.make()

    stranger, *_more = asked(client_of(None), name, door, given)
    answers = {role: asked(client_of(cast[role]), name, door, given) for role in cast}

    assert is_sent_to_log_in(stranger) != door.public
    for role, (answer, *further) in answers.items():
        roles = set(cast[role].roles.split(","))
        may_open = not roles.isdisjoint((COORDINATOR, *door.roles))
        may_open &= not (door.is_makers and role == BOTH)
        if may_open:
            assert is_answered(answer), f"{role}: {answer.status_code}"
        else:
            assert answer.status_code == 403, f"{role}: {answer.status_code}"
        if role != COORDINATOR and may_open:
            words = "".join(words_of(one) for one in (answer, *further))
            assert surnames_in(words, but_of=cast[role]) == [], role
            assert [one for own in roles for one in not_read_at(name, own, words)] == [], role
