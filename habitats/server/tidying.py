"""What each feature deletes in the night because nobody needs it any longer."""

from django.dispatch import Signal

# Gives ``now``. A receiver deletes what is old, and returns in words how much it was.
tidy_asked = Signal()
