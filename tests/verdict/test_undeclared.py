"""What the files do not declare is to do at the field, and is no part of the word."""

import shutil
from pathlib import Path

import pytest

from homeleg.desk.check import check_sortie
from homeleg.verdict.result import Status, Verdict

EXAMPLES = Path(__file__).parents[2] / "examples"
# How each matter is declared in the example, the item it becomes, and the row it belongs to.
DECLARED = [
    ("sortie.toml", "boundary = {", "boundary", "inside.boundary"),
    ("sortie.toml", "keep_out = []", "people", "inside.ground_buffer"),
    ("sortie.toml", "visibility = ", "visibility", "sight.visibility"),
    ("sortie.toml", "cloud_base = ", "cloud", "weather.cloud"),
    ("petrel.toml", "[radio]", "radio", "heard.margin"),
]
ITEMS = [item for _, _, item, _ in DECLARED]
SEEN = 'seen = "2026-06-09 16:50Z"'


def checked(folder: Path, told: str = "") -> Verdict:
    """Return the quick verdict on the example with nothing of all that declared."""
    here = folder / "tern-point"
    shutil.copytree(EXAMPLES / "tern-point", here)
    sortie = (here / "sortie.toml").read_text("utf-8")
    for name, start, *_ in DECLARED:
        if name == "sortie.toml":
            line = next(line for line in sortie.splitlines() if line.startswith(start))
            sortie = sortie.replace(f"{line}\n", "")
    (here / "sortie.toml").write_text(sortie + told, "utf-8")
    aircraft = (here / "petrel.toml").read_text("utf-8")
    before, _, radio = aircraft.partition("[radio]\n")
    (here / "petrel.toml").write_text(before + radio[radio.index("[[flown]]") :], "utf-8")
    return check_sortie(here / "sortie.toml", quick=True, members=64).verdict


@pytest.fixture(scope="module")
def untold(tmp_path_factory: pytest.TempPathFactory) -> Verdict:
    return checked(tmp_path_factory.mktemp("untold"))


def test_the_word_stays(untold: Verdict) -> None:
    assert untold.word is Status.GO
    assert not untold.reasons


def test_each_is_to_do(untold: Verdict) -> None:
    assert sorted(item.item for item in untold.to_do) == sorted(ITEMS)
    assert "5 to do at the field" in untold.headline


@pytest.mark.parametrize("slug", [slug for *_, slug in DECLARED])
def test_each_row_says_so(untold: Verdict, slug: str) -> None:
    row = next(row for row in untold.rows if row.limit.slug == slug)
    assert row.status is Status.NOT_ANSWERED
    assert any(item.ask == row.act for item in untold.to_do)


def test_a_question_left_to_the_field_is_not_answered(untold: Verdict) -> None:
    heard = next(answer for answer in untold.answers if answer.row == "heard.margin")
    assert heard.status is Status.NOT_ANSWERED


def test_told_good_closes_and_told_bad_stops(tmp_path: Path) -> None:
    lines = [f'{item} = {{ answer = "good", {SEEN} }}\n' for item in ITEMS if item != "people"]
    verdict = checked(tmp_path, "".join(lines) + f'people = {{ answer = "bad", {SEEN} }}\n')
    assert not verdict.to_do
    assert verdict.word is Status.NO_GO
    assert [reason.row for reason in verdict.reasons] == ["motor.people", "inside.ground_buffer"]


def test_an_old_word_on_the_cloud_is_asked_again(tmp_path: Path) -> None:
    told = 'cloud = { answer = "good", seen = "2026-06-09 15:30Z" }\n'
    assert "cloud" in [item.item for item in checked(tmp_path, told).to_do]


@pytest.mark.parametrize(
    "sky", ['sky = "clear"', 'metar = "METAR EGPC 091650Z 22510KT CAVOK 14/08 Q1016"']
)
def test_a_sky_without_low_cloud_leaves_nothing_to_tell(tmp_path: Path, sky: str) -> None:
    here = tmp_path / "tern-point"
    shutil.copytree(EXAMPLES / "tern-point", here)
    text = (here / "sortie.toml").read_text("utf-8")
    text = text.replace('cloud_base = "900 m above launch"', sky)
    (here / "sortie.toml").write_text(text, "utf-8")
    verdict = check_sortie(here / "sortie.toml", quick=True, members=64).verdict
    row = next(row for row in verdict.rows if row.limit.slug == "weather.cloud")
    assert row.status is Status.DOES_NOT_APPLY
    assert not verdict.to_do
