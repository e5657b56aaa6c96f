"""Pure: what an enclosure is made of and what floor it gives.

``read_design`` turns a design file into a ``Design``; ``raise_structure`` turns that into a
``Structure`` with every panel, joint, ramp, guard and tray; ``warnings_for`` says what people
should know about it. Whatever cannot stand raises ``BadDesign`` with all its faults.
"""
