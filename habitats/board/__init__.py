"""All at once: the board, today, the calendar, the first page."""
