"""A moment: UTC, with the minutes that local time was ahead of it where it was written down."""

from collections.abc import Callable
from datetime import UTC, datetime, timedelta, timezone
from typing import Any

from sqlalchemy import Date, DateTime, Dialect
from sqlalchemy.types import TypeDecorator

from redolent.journal.error import UnreadableError

_EPOCH = datetime(1970, 1, 1)


def split(at: datetime | None = None) -> tuple[datetime, int]:
    """Take a moment apart as it is stored.

    Parameters
    ----------
    at : datetime, optional
        Now where it is None; one without a time zone is local time.

    Returns
    -------
    utc : datetime
        Without a time zone.
    utc_offset : int
        Minutes; positive east of Greenwich.

    Raises
    ------
    ValueError
        Where `at` lies outside the years that UTC is reckoned in here.
    """
    try:
        local = datetime.now().astimezone() if at is None else at if at.tzinfo else at.astimezone()
        utc = local.astimezone(UTC).replace(tzinfo=None)
    except (OverflowError, OSError) as error:
        raise ValueError(f"The time {at} is out of range; give one between the years 1 and 9999.") from error
    return utc, round((local.utcoffset() or timedelta()) / timedelta(minutes=1))


def join(utc: datetime, utc_offset: int) -> datetime:
    """Put a moment together again, as an aware datetime in the local time of its writing.

    Raises
    ------
    UnreadableError
        Where the two make no moment.
    """
    try:
        return utc.replace(tzinfo=UTC).astimezone(timezone(timedelta(minutes=utc_offset)))
    except (OverflowError, ValueError, TypeError):
        raise UnreadableError(f"{utc} with an offset of {utc_offset} minutes is no moment.") from None


def rank(utc: datetime) -> int:
    """Count the microseconds since 1970, of a moment as `split` gives it."""
    return (utc - _EPOCH) // timedelta(microseconds=1)


class _Read(TypeDecorator[Any]):
    """A column of times; one that cannot be read is said to be so."""

    def result_processor(self, dialect: Dialect, coltype: object) -> Callable[[Any], Any] | None:
        """Read a time as the database's own type does."""
        read = super().result_processor(dialect, coltype)
        if read is None:
            return None

        def process(value: Any) -> Any:
            try:
                return read(value)
            except (ValueError, TypeError):
                raise UnreadableError("A time holds something else.") from None

        return process


class Instant(_Read):
    """A column of UTC datetimes without a time zone."""

    impl = DateTime
    cache_ok = True


class Day(_Read):
    """A column of dates."""

    impl = Date
    cache_ok = True
