"""Photos may be in a bucket of another service, which may not answer."""


class BucketAway(OSError):
    """The bucket does not answer, or refuses us; the sentence, for the log, says what it said."""
