"""A build as rows: its state, its plan and steps, and the acts on it."""
