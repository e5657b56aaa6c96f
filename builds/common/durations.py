"""Working time in words."""

NO_BREAK = "\N{NO-BREAK SPACE}"


def as_duration(minutes: int) -> str:
    """``12 min``, ``2 h``, ``2 h 23 min``; to the minute, so that parts add up to their whole.

    >>> as_duration(143)
    '2\\xa0h 23\\xa0min'
    """
    hours, rest = divmod(minutes, 60)
    words = [f"{hours}{NO_BREAK}h"] if hours else []
    if rest or not hours:
        words.append(f"{rest}{NO_BREAK}min")
    return " ".join(words)
