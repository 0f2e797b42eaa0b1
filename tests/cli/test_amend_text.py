"""What amend says where it proposes nothing."""

from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from homeleg.cli.amend_text import amend_text
from homeleg.desk.amend import Amended
from homeleg.desk.check import CheckResult
from homeleg.sortie.sortie import Sortie
from homeleg.verdict.result import Status

STAYS = "NO-GO stays: Slowest over the ground. Come home at 20.5 m/s."


@pytest.mark.parametrize(
    ("word", "provisional", "words"),
    [
        (Status.GO, False, ["Now: GO. Too slow", "Nothing to change."]),
        (Status.NO_GO, False, ["No change found that reaches GO. NO-GO stays", STAYS]),
        (Status.NO_GO, True, ["reaches GO. A quick look only: try without --quick.", STAYS]),
    ],
)
def test_no_change(
    make_verdict: Any,
    told: Sortie,
    word: Status,
    provisional: bool,  # noqa: FBT001
    words: list[str],
) -> None:
    verdict = replace(make_verdict(word), provisional=provisional)
    check = CheckResult(verdict=verdict, sortie=told, sources=())
    text = amend_text(Amended(check=check, proposal=None), Path("s.toml"), applied=False)
    flat = " ".join(text.split())
    assert all(one in flat for one in words)
    assert flat.startswith("Now: ")
