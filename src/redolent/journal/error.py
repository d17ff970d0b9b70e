"""The error of a journal."""


class JournalError(ValueError):
    """A journal that cannot be opened, read or written; the message says why and what to do."""


class DamagedError(JournalError):
    """A journal whose file does not hold together."""
