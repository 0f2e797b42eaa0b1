# ruff: noqa: INP001
"""Write the sample answer of the README from a real run of the example it names.

    python tools/readme_sample.py

What stands between the two marks of the README is exchanged; run it after a change of the answer.
"""

import re
from pathlib import Path

from homeleg.cli.text import check_text
from homeleg.desk.check import check_sortie

ROOT = Path(__file__).parents[1]
README = ROOT / "README.md"
EXAMPLE = ROOT / "examples" / "tern-point" / "sortie.toml"
_SAMPLE = re.compile(
    r"(?<=<!-- tern-point: begin -->\n```text\n).*?(?=```\n<!-- tern-point: end -->)", re.DOTALL
)


def sample_in(readme: str) -> str:
    """Return the answer that stands between the marks."""
    found = _SAMPLE.search(readme)
    if found is None:
        raise SystemExit("README.md: the marks around the sample of tern-point are gone.")
    return found.group()


def todays_sample() -> str:
    """Return what the program prints for the example today."""
    result = check_sortie(EXAMPLE)
    return check_text(result.verdict, result.sortie)


def main() -> None:
    """Exchange the sample for today's."""
    text = README.read_text("utf-8")
    old = sample_in(text)
    README.write_text(text.replace(old, todays_sample()), "utf-8")


if __name__ == "__main__":
    main()
