"""Rule profiles against the texts they are from, and files of one's own."""

from contextlib import suppress
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from homeleg.formats.rules_file import PROFILES, read_profile
from homeleg.foundation.errors import InputFileError
from homeleg.foundation.units import TextError
from homeleg.sortie.rules import RuleProfile
from tests.published import Published

FOOT_M = 0.3048
STATUTE_MILE_KM = 1.609344
EU = "Regulation (EU) 2019/947, article 4 and UAS.OPEN.040, as quoted by public pages. FOUND"
UK = "UAS.OPEN.040 as it stands in the UK. MEMORY that it does"
US = "14 CFR 107.51, as consolidated. FOUND"
CANADA = "CAR 901.25 and 901.26, as consolidated. FOUND"
AUSTRALIA = "CASR 101.085, as consolidated. FOUND; 30 m by an operator's summary. FOUND"
# Name, row, key (none: the hard limit), the number as printed, its unit, ours in one of theirs.
PUBLISHED = [
    ("EU open A3", "inside.ceiling", "", "120", "m", 1.0, EU),
    ("UK open A3", "inside.ceiling", "", "120", "m", 1.0, UK),
    ("US part 107", "inside.ceiling", "", "400", "ft", FOOT_M, US),
    ("US part 107", "sight.visibility", "", "3", "statute miles", STATUTE_MILE_KM, US),
    ("US part 107", "weather.cloud", "", "500", "ft", 1.0, US),
    ("Canada", "inside.ceiling", "", "400", "ft", FOOT_M, CANADA),
    ("Australia", "inside.ceiling", "", "400", "ft", FOOT_M, AUSTRALIA),
    ("EU open A3", "inside.ground_buffer", "least_m", "150", "m", 1.0, EU),
    ("UK open A3", "inside.ground_buffer", "least_m", "150", "m", 1.0, UK),
    ("Canada", "inside.ground_buffer", "least_m", "100", "ft", FOOT_M, CANADA),
    ("Australia", "inside.ground_buffer", "least_m", "30", "m", 1.0, AUSTRALIA),
    ("US part 107", "weather.cloud", "aside_ft", "2000", "ft", 1.0, US),
]
OWN = """schema = "homeleg/rules/1"
name = "Our club"
source = "field rules"
as_of = "2026-03-01"
[[limit]]
row = "inside.ceiling"
want = "80 m"
hard = "90 m"
source = "rule 4"
"""


def profile(name: str) -> RuleProfile:
    read, sources = read_profile(name, Path())
    assert read is not None
    assert sources == ()
    return read


@pytest.mark.parametrize(
    ("name", "row", "key", "printed", "unit", "ours_per_theirs", "source"), PUBLISHED
)
def test_limits(
    published: Published,
    name: str,
    row: str,
    key: str,
    printed: str,
    unit: str,
    ours_per_theirs: float,
    source: str,
) -> None:
    (limit,) = [one for one in profile(name).limits if one.row == row]
    ours = limit.extra[key] if key else limit.hard
    assert ours is not None
    # Half the last digit written in the file: kilometres to a metre, metres to a centimetre.
    within = 0.0005 if row == "sight.visibility" else 0.005
    published(
        f"{name}: {row} {key}".strip(),
        ours / ours_per_theirs,
        printed,
        unit,
        source=source,
        within=within / ours_per_theirs,
        because="half the last digit written in the profile",
    )


@pytest.mark.parametrize("name", list(PROFILES))
def test_every_profile_says_where_it_is_from(name: str) -> None:
    read = profile(name)
    assert read.name == name
    assert read.source
    assert read.as_of
    assert all(limit.source for limit in read.limits)


def test_own_limits_are_no_profile() -> None:
    assert read_profile("own", Path()) == (None, ())


def test_a_file_of_ones_own(tmp_path: Path) -> None:
    (tmp_path / "club.toml").write_text(OWN, "utf-8")
    read, sources = read_profile("club.toml", tmp_path)
    assert read is not None
    assert (read.limits[0].want, read.limits[0].hard) == (80.0, 90.0)
    assert [name for name, _ in sources] == ["club.toml"]


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        ("inside.ceiling", "inside.celing", "the nearest is inside.ceiling"),
        ("inside.ceiling", "reserve.charge", "is not a ruled row"),
        ('hard = "90 m"', 'hard = "90 ft"', "is not a limit of this row"),
        ('hard = "90 m"', 'hard = "90 m"\nleast = "5 m"', "is no number of inside.ceiling"),
        ('as_of = "2026-03-01"\n', "", "as_of: is missing"),
        ('want = "80 m"', 'want = "100 m"', "at most 100 m, and the hard limit of 90 is stricter"),
        ('want = "80 m"', 'want = "-80 m"', "want: -80 is below nothing"),
        ('hard = "90 m"', 'hard = "-90 m"', "hard: -90 is below nothing"),
        ("[[limit]]\n", "", "holds source a second time, after line 3"),
        ("[[limit]]", '[[limit]]\nrow = "inside.ceiling"\n[[limit]]', "more than once"),
    ],
)
def test_files_refused(tmp_path: Path, old: str, new: str, words: str) -> None:
    (tmp_path / "club.toml").write_text(OWN.replace(old, new), "utf-8")
    with pytest.raises(InputFileError) as caught:
        read_profile("club.toml", tmp_path)
    assert words in str(caught.value)


def test_a_profile_nobody_knows() -> None:
    with pytest.raises(TextError, match="the nearest is US part 107"):
        read_profile("US part 108", Path())


def test_whatever_a_profile_holds_is_read_or_refused(tmp_path: Path) -> None:
    pieces = st.sampled_from(["[", "]", "=", '"', "-", "nan", "1e999", "\n", "hard"])

    @settings(max_examples=25)
    @given(st.integers(0, len(OWN)), st.integers(0, 20), pieces | st.text(max_size=9))
    def check(start: int, length: int, piece: str) -> None:
        changed = OWN[:start] + piece + OWN[start + length :]
        (tmp_path / "club.toml").write_bytes(changed.encode())
        with suppress(InputFileError):
            assert isinstance(read_profile("club.toml", tmp_path)[0], RuleProfile)

    check()
