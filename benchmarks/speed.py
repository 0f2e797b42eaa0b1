"""Ratios of speed and memory, all in one run: see README.md beside this file."""

import resource
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import replace
from pathlib import Path

from homeleg.desk.kernel_cache import use_kernel_cache

use_kernel_cache()

import numba  # noqa: E402 - after its cache is chosen
import numpy as np  # noqa: E402
from ceiling import Ceiling  # noqa: E402

from homeleg.desk.check import check_sortie  # noqa: E402
from homeleg.flight import ensemble, kernel  # noqa: E402
from homeleg.flight import layout as c  # noqa: E402
from homeleg.flight.ensemble import Flown, fly  # noqa: E402
from homeleg.formats.sortie_file import read_sortie  # noqa: E402
from homeleg.route.items import Route  # noqa: E402
from homeleg.sortie.resolve import resolve  # noqa: E402
from homeleg.sortie.sortie import Sortie  # noqa: E402

EXAMPLES = Path(__file__).parents[1] / "examples"
TERN_POINT = EXAMPLES / "tern-point" / "sortie.toml"
CEILING_MEMBERS = 256
AGREEMENT = 1e-9
# Shared processors take turns: the time of this process alone is the steadier, on one thread.
PROCESSOR = time.process_time


def best(
    work: Callable[[], object],
    repeats: int = 5,
    clock: Callable[[], float] = time.perf_counter,
) -> float:
    """Return the least time of several: what else the machine does only adds."""
    times = []
    for _ in range(repeats):
        start = clock()
        work()
        times.append(clock() - start)
    return min(times)


def told(name: str, value: float, goal: str = "", unit: str = "x") -> None:
    print(f"{name:<58} {value:9.3f} {unit:<3} {goal}", flush=True)


def flown(sortie: Sortie, members: int) -> Flown:
    resolved = resolve(sortie)
    return fly(resolved, resolved.departures[0], members, seed=1)


def repeated_route(sortie: Sortie, times: int) -> Sortie:
    """Return the sortie with its route between take-off and landing flown several times over."""
    first, *middle, last = sortie.route.items
    return replace(sortie, route=Route(items=(first, *(middle * times), last)))


@contextmanager
def threads(count: int) -> Iterator[None]:
    before = numba.get_num_threads()
    numba.set_num_threads(min(count, before))
    try:
        yield
    finally:
        numba.set_num_threads(before)


@contextmanager
def simulated_seconds() -> Iterator[list[float]]:
    """Count the seconds that the kernel flies, out and home."""
    counted: list[float] = []
    out, home = ensemble.fly_members, ensemble.fly_onwards

    def count_out(*arrays: object) -> object:
        answer = out(*arrays)
        counted.append(float(np.sum(answer[0][:, c.DURATION])))
        return answer

    def count_home(*arrays: object) -> object:
        answer = home(*arrays)
        counted.append(float(np.sum(answer[:, c.DURATION] - arrays[3][:, c.TIME])))  # type: ignore[index]
        return answer

    ensemble.fly_members, ensemble.fly_onwards = count_out, count_home
    try:
        yield counted
    finally:
        ensemble.fly_members, ensemble.fly_onwards = out, home


def against_ceiling(sortie: Sortie) -> None:
    """Compare the kernel, then a whole check, with C on one thread, in processor time."""
    group = flown(sortie, CEILING_MEMBERS)
    seconds = float(group.results[:, c.DURATION].sum())
    arrays = (1, np.arange(CEILING_MEMBERS), group.members, group.winds)
    surroundings = (ensemble._leg_rows(group.departure.legs), *group.surroundings)  # noqa: SLF001
    with tempfile.TemporaryDirectory() as folder:
        in_c = Ceiling(Path(folder))

    def fly_here() -> object:
        return kernel.fly_members(*arrays, *surroundings, np.zeros(0))

    def fly_in_c() -> object:
        return in_c.fly_members(*arrays, surroundings)

    for ours, theirs in zip(fly_here()[:2], fly_in_c(), strict=True):  # type: ignore[index]
        np.testing.assert_allclose(ours, theirs, rtol=AGREEMENT, atol=1e-12)
    with threads(1):
        pairs = [(best(fly_here, 1, PROCESSOR), best(fly_in_c, 1, PROCESSOR)) for _ in range(9)]
        ours_s, c_s = (min(times) / seconds for times in zip(*pairs, strict=True))
        told("kernel, one thread, a simulated second", 1e6 * ours_s, unit="us")
        told("C ceiling, a simulated second", 1e6 * c_s, unit="us")
        told("kernel over C ceiling", ours_s / c_s)
        with simulated_seconds() as counted:
            check_s = best(lambda: check_sortie(TERN_POINT), 1, PROCESSOR)
        c_s = 0.5 * (c_s + best(fly_in_c, 5, PROCESSOR) / seconds)
    told("whole default check over C, one thread", check_s / (sum(counted) * c_s), "<= 1.5")


def whole_checks() -> None:
    for members in (256, 2048, 8192):
        with simulated_seconds() as counted:
            took_s = best(lambda n=members: check_sortie(TERN_POINT, members=n), 1)
        told(f"whole check, {members} members", took_s, unit="s")
        told("  simulated seconds, in millions", sum(counted) / 1e6, unit="")
    told("quick check, warm", best(lambda: check_sortie(TERN_POINT, quick=True), 3), "<= 1", "s")


def scaling(sortie: Sortie) -> None:
    with threads(1):
        alone_s = best(lambda: flown(sortie, 1024), 3)
    told("two threads over one", best(lambda: flown(sortie, 1024), 3) / alone_s, "<= 0.60")
    few_s = best(lambda: flown(sortie, 512), 3)
    told("10 times the members", best(lambda: flown(sortie, 5120), 1) / few_s, "<= 10.5")
    long = repeated_route(sortie, 4)
    short_s, long_s = (
        best(lambda day=day: flown(day, 256), 3)
        / float(flown(day, 256).results[:, c.DURATION].sum())
        for day in (sortie, long)
    )
    told("route 4 times as long, a simulated second over", long_s / short_s)


def starting() -> None:
    bare_s = best(lambda: subprocess.run([sys.executable, "-c", ""], check=True))
    command = [str(Path(sys.executable).parent / "homeleg"), "--help"]
    help_s = best(lambda: subprocess.run(command, check=True, stdout=subprocess.DEVNULL))  # noqa: S603
    told("--help over bare Python", help_s / bare_s, "<= 3")


def memory(sortie: Sortie) -> None:
    long = repeated_route(sortie, 7)
    group = flown(long, 10_000)
    told("10,000 members, mean duration", float(group.results[:, c.DURATION].mean()), unit="s")
    peak_mb = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024.0
    told("peak memory of this whole run", peak_mb, "<= 500", "MB")


def first_check() -> None:
    first_s = best(lambda: check_sortie(TERN_POINT), 1)
    told("default check, first in a process", first_s, unit="s")
    told("first over later", first_s / best(lambda: check_sortie(TERN_POINT), 2), "<= 1.2")


def main() -> None:
    sortie = read_sortie(TERN_POINT).sortie
    parts = {
        "first": first_check,
        "ceiling": lambda: against_ceiling(sortie),
        "checks": whole_checks,
        "scaling": lambda: scaling(sortie),
        "starting": starting,
        "memory": lambda: memory(sortie),
    }
    for name in sys.argv[1:] or parts:
        parts[name]()


if __name__ == "__main__":
    main()
