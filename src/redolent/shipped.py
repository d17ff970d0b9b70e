"""Find the data folders that come with the package."""

from functools import cache
from pathlib import Path

_HERE = Path(__file__).resolve()


@cache
def shipped(name: str) -> Path:
    """Return the folder of the data that come with the package.

    Parameters
    ----------
    name : str
        ``"lexicon"`` or ``"notebooks"``.

    Returns
    -------
    pathlib.Path
        The folder: inside the package when it was installed from a wheel, at the top of the
        checkout when it was installed from there as editable.

    Raises
    ------
    FileNotFoundError
        When the folder is in neither place.
    """
    places = [_HERE.parent / "_data" / name, _HERE.parents[2] / name]
    for place in places:
        if place.is_dir():
            return place
    raise FileNotFoundError(f"The folder {name!r} that comes with Redolent is missing; install Redolent again.")
