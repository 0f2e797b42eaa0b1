"""Both sides of a what-if come from the same computed flights: what differs is what was turned."""

from pathlib import Path

import pytest

from homeleg.desk.base import make_base
from homeleg.desk.check import check_sortie
from homeleg.desk.examples import add_example
from homeleg.desk.face import SI
from homeleg.desk.what_if import fly_what_if, still_stands, take_what_if
from homeleg.desk.what_if_view import what_if_view
from homeleg.formats.sortie_file import read_sortie
from homeleg.foundation.errors import InputFileError
from homeleg.verdict.result import Status

pytestmark = pytest.mark.slow
MEMBERS = 128


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return add_example(make_base(tmp_path / "base"), "tern-point")


def test_turned_to_where_it_stands_nothing_changes(path: Path) -> None:
    flown = fly_what_if(path, {"charged": "100", "work": "15.5"}, SI, members=MEMBERS)
    view = what_if_view(flown)
    assert view.lines == ()
    assert [line.title for line in view.figures] == ["To do at the field"]  # the route aboard


def test_each_side_is_what_a_check_says(path: Path) -> None:
    heard: list[str] = []
    flown = fly_what_if(
        path,
        {"speed": "11", "gust": "14"},
        SI,
        members=MEMBERS,
        progress=lambda what, _share: heard.append(what.split(":")[0]),
    )
    assert flown.before.verdict.members == flown.after.verdict.members
    members = flown.before.verdict.members
    assert flown.before.verdict.rows == check_sortie(path, members=members).verdict.rows
    assert heard[0] == "as it stands"
    assert heard[-1] == "what if"
    take_what_if(path, flown)
    assert flown.after.verdict.rows == check_sortie(path, members=members).verdict.rows
    # 11 m/s on the ground and more above, against 15.5 m/s: nobody goes forward.
    view = what_if_view(flown)
    assert flown.after.verdict.word is Status.NO_GO
    headway = next(one for one in view.lines if "ground speed" in one.title)
    assert headway.became.startswith("GO → NO-GO")


def test_the_answer_as_it_stands_is_not_flown_twice(path: Path) -> None:
    first = fly_what_if(path, {"charged": "90"}, SI, members=MEMBERS)
    heard: list[str] = []
    second = fly_what_if(
        path,
        {"charged": "80"},
        SI,
        first.before,
        members=MEMBERS,
        progress=lambda what, _share: heard.append(what.split(":")[0]),
    )
    assert second.before is first.before
    assert set(heard) == {"what if"}
    path.write_text(path.read_text().replace("14 degC", "13 degC"))
    assert not still_stands(path, second)
    with pytest.raises(InputFileError, match="changed after this was flown"):
        take_what_if(path, second)
    assert read_sortie(path).sortie.pack.charged_fraction.value == 1.0
