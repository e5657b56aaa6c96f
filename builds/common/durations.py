"""Working time in words."""

NO_BREAK = "\N{NO-BREAK SPACE}"
FINE = 30  # minutes up to which an estimate is told by the minute, above that in fives


def as_duration(minutes: int) -> str:
    """``12 min``, ``45 min``, ``2 h``, ``2 h 25 min``; rounded up, since nobody minds to be early.

    >>> as_duration(143)
    '2\\xa0h 25\\xa0min'
    """
    shown = minutes if minutes <= FINE else -(-minutes // 5) * 5
    hours, rest = divmod(shown, 60)
    words = [f"{hours}{NO_BREAK}h"] if hours else []
    if rest or not hours:
        words.append(f"{rest}{NO_BREAK}min")
    return " ".join(words)
