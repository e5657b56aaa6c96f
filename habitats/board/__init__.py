"""All at once: space, today, the calendar, the first page."""
