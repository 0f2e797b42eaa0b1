"""Pages for a phone: each one file, with fonts, figures and style inside."""

from base64 import b64encode
from functools import cache
from importlib.resources import files
from typing import Any

from jinja2 import Environment, PackageLoader, StrictUndefined, select_autoescape
from markupsafe import Markup

__all__ = ["drawn", "phone_page"]

_FACES = (
    ("Clear Sans", 400, "ClearSans-Regular.woff"),
    ("Clear Sans", 700, "ClearSans-Bold.woff"),
    ("B612 Mono", 700, "B612Mono-Bold.woff"),
)


def phone_page(template: str, **words: Any) -> str:
    """Return a page of its own from one of the templates."""
    return _environment().get_template(template).render(faces=_faces(), **words)


def drawn(svg: str) -> Markup:
    """Return a figure of ours as it stands: its words were escaped when they were set."""
    return Markup(svg)  # noqa: S704


@cache
def _environment() -> Environment:
    return Environment(
        loader=PackageLoader("homeleg.briefing"),
        autoescape=select_autoescape(),
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )


@cache
def _faces() -> tuple[tuple[str, int, str], ...]:
    """Return family, weight and content of each face."""
    folder = files("homeleg.briefing").joinpath("fonts")
    return tuple(
        (family, weight, b64encode(folder.joinpath(name).read_bytes()).decode())
        for family, weight, name in _FACES
    )
