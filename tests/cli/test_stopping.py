"""Ctrl-C: noted while computing, heeded between two steps, never a traceback or a crash."""

import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from homeleg.cli.stopping import at_once, held_back

SORTIE = Path(__file__).parents[2] / "examples" / "tern-point" / "sortie.toml"
MAIN = "from homeleg.cli.main import main; main()"
pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="no Ctrl-C to send from outside")


def started(code: str, *arguments: str) -> subprocess.Popen[str]:
    """Start our own interpreter; Ctrl-C reaches it even where a background job ignores it."""
    unblock = "import signal; signal.signal(signal.SIGINT, signal.default_int_handler); "
    return subprocess.Popen(  # noqa: S603 (our own interpreter and text)
        [sys.executable, "-c", unblock + code, *arguments],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    )


@pytest.fixture(autouse=True)
def _python_takes_the_key() -> None:
    signal.signal(signal.SIGINT, signal.default_int_handler)


def test_the_key_is_heeded_only_where_it_is_asked() -> None:
    steps = []
    with pytest.raises(KeyboardInterrupt), held_back() as heed:  # noqa: PT012 (steps on both sides)
        heed()
        signal.raise_signal(signal.SIGINT)
        steps.append("finished")
        heed()
        steps.append("went on")
    assert steps == ["finished"]
    assert signal.getsignal(signal.SIGINT) is signal.default_int_handler


def test_the_key_is_heeded_at_the_end_at_the_latest() -> None:
    steps = []
    with pytest.raises(KeyboardInterrupt), held_back():  # noqa: PT012 (steps on both sides)
        signal.raise_signal(signal.SIGINT)
        steps.append("finished")
    assert steps == ["finished"]


def test_what_ignores_the_key_goes_on_ignoring_it() -> None:
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    with held_back() as heed:
        signal.raise_signal(signal.SIGINT)
        heed()
        assert signal.getsignal(signal.SIGINT) is signal.SIG_IGN


def test_the_second_key_ends_it_at_once() -> None:
    process = started(
        "from homeleg.cli.stopping import at_once, held_back\n"
        "with held_back():\n"
        "    signal.raise_signal(signal.SIGINT)\n"
        "    print('finished', flush=True)\n"
        "    signal.raise_signal(signal.SIGINT)\n"
        "    print('went on', flush=True)\n"
    )
    out, err = process.communicate(timeout=20)
    assert (process.returncode, out, err) == (130, "finished\n", "Stopped.\n")


@pytest.mark.parametrize("name", ["SIGTERM", "SIGHUP"])
def test_a_closed_terminal_and_a_shutdown_are_the_same_wish(name: str) -> None:
    number = getattr(signal, name)
    before = signal.getsignal(number)
    steps = []
    with pytest.raises(KeyboardInterrupt), held_back() as heed:  # noqa: PT012 (steps on both sides)
        signal.raise_signal(number)
        signal.raise_signal(number)  # it may come twice, and does not end the process
        steps.append("finished")
        heed()
        steps.append("went on")
    assert steps == ["finished"]
    assert signal.getsignal(number) is before


@pytest.mark.parametrize("name", ["SIGINT", "SIGTERM"])
def test_a_wish_ends_the_waiting_for_an_answer(name: str) -> None:
    with held_back(), pytest.raises(KeyboardInterrupt), at_once():
        signal.raise_signal(getattr(signal, name))


@pytest.mark.slow
@pytest.mark.parametrize("after_s", [0.3, 0.8, 1.3, 1.6, 1.9, 2.2, 2.5, 2.8])
def test_a_check_is_stopped_at_any_moment(after_s: float) -> None:
    process = started(MAIN, "check", str(SORTIE), "--members", "16384")
    time.sleep(after_s)
    process.send_signal(signal.SIGINT)
    out, err = process.communicate(timeout=120)
    assert (process.returncode, out, err.strip()) == (130, "", "Stopped.")
