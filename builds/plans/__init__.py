"""A build as rows: its state, its plan and steps, and what was done."""
