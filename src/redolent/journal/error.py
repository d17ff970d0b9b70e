"""The error of a journal."""


class JournalError(ValueError):
    """A journal that cannot be opened, read or written; the message says why and what to do."""


class DamagedError(JournalError):
    """A journal whose file does not hold together."""


class UnreadableError(ValueError):
    """A value of a row that is not what its column holds: a byte of the file has become another."""
