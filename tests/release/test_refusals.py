"""What is released, by whom, and what nobody can release."""

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest

from homeleg.formats.sortie_file import SortieFiles
from homeleg.foundation.units import TextError
from homeleg.readiness.told import ToldAnswer
from homeleg.release.refusals import Asked, refusals, valid_until
from homeleg.release.signing import (
    Override,
    Signature,
    override_of,
    read_back_of,
    refused_read_back,
    signature_of,
)
from homeleg.verdict.result import Status, ToDo, Verdict

NOW = datetime(2026, 6, 9, 16, 55, tzinfo=UTC)
KIM = Signature(name="Kim", role="pilot", read_back=True)
LEE = Signature(name="Lee", role="observer", read_back=False)


def asked(files: SortieFiles, verdict: Verdict, **changes: Any) -> Asked:
    plain = Asked(
        sortie=files.sortie,
        verdict=verdict,
        ground_unknown=False,
        signatures=(KIM,),
        override=None,
    )
    return replace(plain, **changes)


def words(asked: Asked, now: datetime = NOW) -> str:
    return "\n".join(str(problem) for problem in refusals(asked, now))


@pytest.fixture
def go(make_verdict: Any) -> Verdict:
    verdict: Verdict = replace(make_verdict(Status.GO), to_do=(), provisional=False)
    return verdict


@pytest.fixture
def no_go(make_verdict: Any) -> Verdict:
    verdict: Verdict = replace(
        make_verdict(Status.NO_GO), to_do=(), valid_until=None, provisional=False
    )
    return verdict


def test_a_go_with_everything_told_is_released(files: SortieFiles, go: Verdict) -> None:
    assert words(asked(files, go)) == ""


def test_open_told_items_block_and_are_counted(files: SortieFiles, go: Verdict) -> None:
    items = (ToDo(item="walk", ask="Walk it."), ToDo(item="crew", ask="Agree."))
    text = words(asked(files, replace(go, to_do=items)))
    assert "2 to do at the field" in text
    assert "1. Walk it. 2. Agree." in text


def test_the_route_aboard_is_compared_after_the_release(files: SortieFiles, go: Verdict) -> None:
    item = ToDo(item="route_aboard", ask="Fetch it back.")
    assert words(asked(files, replace(go, to_do=(item,)))) == ""
    walk = ToDo(item="walk", ask="Walk it.")
    text = words(asked(files, replace(go, to_do=(walk, item))))
    assert "2 to do at the field, 1 of them before the release" in text


def test_a_quick_answer_is_not_released(files: SortieFiles, go: Verdict) -> None:
    assert "provisional" in words(asked(files, replace(go, provisional=True)))


def test_it_holds_until_the_first_thing_ends(files: SortieFiles, go: Verdict) -> None:
    # The pack was felt at 16:50 and that stands for an hour: before the air of the verdict ends.
    late = replace(go, valid_until=datetime(2026, 6, 9, 18, 10, tzinfo=UTC))
    assert valid_until(files.sortie, late) == datetime(2026, 6, 9, 17, 50, tzinfo=UTC)
    soon = replace(go, valid_until=datetime(2026, 6, 9, 17, 5, tzinfo=UTC))
    assert valid_until(files.sortie, soon) == soon.valid_until
    assert words(asked(files, soon), NOW + timedelta(minutes=10)) == ""
    assert "held until 2026-06-09 17:05Z" in words(asked(files, soon), NOW + timedelta(minutes=11))


def test_nothing_is_seen_before_its_time(files: SortieFiles, go: Verdict) -> None:
    evening = NOW - timedelta(hours=20)
    assert "said to have been seen at 16:50Z" in words(asked(files, go), evening)


def test_a_no_go_needs_a_named_pilot_who_signs(files: SortieFiles, no_go: Verdict) -> None:
    text = words(asked(files, no_go))
    assert "Change something, or do not fly." in text
    assert "--override-by" in text
    assert "NO-GO: NO-GO" not in text
    override = Override(name="Kim", reason="Test flight over empty ground.")
    assert words(asked(files, no_go, override=override)) == ""
    of_lee = Override(name="Lee", reason="Test flight over empty ground.")
    assert "Lee overrides the word and does not sign" in words(asked(files, no_go, override=of_lee))


def test_a_go_is_not_overridden(files: SortieFiles, go: Verdict) -> None:
    override = Override(name="Kim", reason="Because I can do so.")
    assert "nothing to override" in words(asked(files, go, override=override))


@pytest.mark.parametrize(
    ("slug", "said"),
    [
        ("mass.balance", "centre of gravity is outside"),
        ("wing", "what holds the wing"),
        ("sense", "surface moves the wrong way"),
        ("route_aboard", "route aboard is not the one"),
    ],
)
def test_what_nobody_overrides(files: SortieFiles, no_go: Verdict, slug: str, said: str) -> None:
    row = no_go.rows[0]
    bad = replace(row, limit=replace(row.limit, slug=slug), status=Status.NO_GO)
    override = Override(name="Kim", reason="Test flight over empty ground.")
    text = words(asked(files, replace(no_go, rows=(bad,)), override=override))
    assert said in text
    assert "no decision of a pilot" in text


def test_unknown_ground_and_a_damaged_pack_are_not_overridden(
    files: SortieFiles, no_go: Verdict
) -> None:
    override = Override(name="Kim", reason="Test flight over empty ground.")
    swollen = ToldAnswer(item="pack.health", good=False, numbers={}, seen=NOW)
    sortie = replace(files.sortie, told=(swollen,))
    text = words(
        asked(files, no_go, override=override, ground_unknown=True, sortie=sortie),
    )
    assert "ground under the route is unknown" in text
    assert "pack is damaged" in text


@pytest.mark.parametrize(
    ("signatures", "said"),
    [
        ((), "nobody has signed"),
        ((replace(KIM, read_back=False),), "has read nothing back"),
        ((KIM, replace(KIM, name=" kim ")), "signs twice"),
        ((KIM, LEE, replace(LEE, name="Sam")), "room for two"),
    ],
)
def test_who_signs(files: SortieFiles, go: Verdict, signatures: Any, said: str) -> None:
    assert said in words(asked(files, go, signatures=signatures))


def test_two_people_need_not_read_back(files: SortieFiles, go: Verdict) -> None:
    assert words(asked(files, go, signatures=(replace(KIM, read_back=False), LEE))) == ""


def test_one_signer_reads_code_and_figure_back(make_verdict: Any) -> None:
    # The tightest row of the verdict made by hand reads 2.1 m/s.
    asked_back = read_back_of("AR77KN", make_verdict(Status.NO_GO))
    assert "2.1" not in asked_back.ask
    assert "AR77KN" not in asked_back.ask
    for typed in ("AR77KN 2.1", "ar77kn 2.10 m/s"):
        assert refused_read_back(asked_back, typed) is None
    for typed in ("", "AR77KN", "AR77KM 2.1", "AR77KN 2.2", "2.1 AR77KN"):
        assert refused_read_back(asked_back, typed) is not None


def test_names_and_reasons_say_something() -> None:
    assert signature_of("Kim Park, pilot in command").role == "pilot in command"
    assert signature_of("Kim Park").words == "Kim Park"
    for role in ("", " ", "P", "12"):
        with pytest.raises(TextError, match="role"):
            signature_of(f"Kim Park,{role}")
    for name in ("", " ", "K", "Kim\nPark", "12", "--", "7 K"):
        with pytest.raises(TextError, match="name"):
            signature_of(name)
    with pytest.raises(TextError, match="reason"):
        override_of("Kim", "because")
