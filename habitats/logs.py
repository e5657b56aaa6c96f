"""What the log says of requests."""

import logging

SERVER_FAULT = 500


class RefusalsInOneLine(logging.Filter):
    """Takes the traceback from what Django logs of an answer that is no fault of the server."""

    def filter(self, record: logging.LogRecord) -> bool:
        if getattr(record, "status_code", SERVER_FAULT) < SERVER_FAULT:
            record.exc_info = record.exc_text = None
        return True
