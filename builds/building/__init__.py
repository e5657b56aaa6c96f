"""The work on a build: its steps, inspection and hand-over; altering, repairing, retiring."""
