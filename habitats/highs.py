"""HiGHS, the solver of linear and whole-number programs, without its greeting."""

from typing import Any


def quiet_solver() -> Any:
    """HiGHS, which says hello on standard output while it is made unless it is hushed by then.

    Loaded when it is asked for: most pages solve nothing.
    """
    import highspy

    class Quiet(highspy.Highs):
        def enableCallbacks(self) -> None:
            self.silent()
            super().enableCallbacks()  # type: ignore[no-untyped-call]

    return Quiet()  # type: ignore[no-untyped-call]
