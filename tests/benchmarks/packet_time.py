"""How long a packet for two levels takes to print: `python -m tests.benchmarks.packet_time`.

The first print of a process also loads WeasyPrint and its fonts; a server does that once.
The last line is of a paper that is kept already.
"""

import os
import tempfile
import time

import django

ROUNDS = 5


def main() -> None:
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "tests.settings")
    django.setup()
    from django.conf import settings

    from builds.making.reckoning import plan_of
    from builds.packet.paper import Label, Options, packet_of, pdf_from, printed, source_of
    from habitats.common.kept_prints import kept_pdf_from
    from habitats.structure.lattice import Side
    from tests.support.designs import make_design, ramp_from

    ramps = (ramp_from(0, 0, Side.E, panels=3),)
    design = make_design(["####", "####"], upper=["#...", "#..."], ramps=ramps)
    label = Label(design.name, "K7MXQ2", "https://enclosures.example.org/d/K7MXQ2/", "1 May 2026")
    for number in range(1, ROUNDS + 1):
        began = time.process_time()
        options = Options()
        packet = packet_of(source_of(plan_of(design, lengths=options.lengths)), label, options)
        drawn = time.process_time()
        pdf = pdf_from(printed(packet))
        done = time.process_time()
        print(
            f"{number}: {done - began:.2f} s of processor time, {drawn - began:.2f} s of it for "
            f"the pictures; {len(packet.cards)} steps, {len(pdf) // 1000} kB"
        )
    with tempfile.TemporaryDirectory() as folder:
        settings.DATA_DIR, settings.PRINTS_MB = folder, 1
        page = printed(packet)
        kept_pdf_from(page)
        began = time.process_time()
        kept_pdf_from(page)
        print(f"kept: {time.process_time() - began:.3f} s instead of {done - drawn:.2f} s")


if __name__ == "__main__":
    main()
