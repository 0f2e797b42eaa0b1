"""Whether the libraries of the link are installed: they come with an extra."""

from importlib.util import find_spec

from homeleg.foundation.errors import DataMissingError

__all__ = ["need_the_extra"]

_LIBRARIES = ("fastcrc", "pymavlink", "serial")


def need_the_extra() -> None:
    """Raise DataMissingError where the link's libraries are not installed."""
    missing = [name for name in _LIBRARIES if find_spec(name) is None]
    if missing:
        raise DataMissingError(
            f"The link needs {' and '.join(missing)}, not installed: pip install 'homeleg[link]', "
            "or in the folder of its sources pip install '.[link]'."
        )
