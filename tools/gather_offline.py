# ruff: noqa: INP001, T201
"""Gather Homeleg and all it needs into one folder that installs without a network.

Run with a Python that has pip, on a machine with a network:

    python tools/gather_offline.py homeleg-offline

The folder holds the wheels for every system and Python named here, one start script for each
system, the documentation and the examples, and a MANIFEST that `sha256sum -c` reads.

References: pip documentation, "pip download" (options --platform, --python-version).
"""

import argparse
import hashlib
import re
import shutil
import subprocess
import sys
import tempfile
import zipfile
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from email.parser import HeaderParser
from pathlib import Path

ROOT = Path(__file__).parents[1]
TEMPLATES = Path(__file__).with_name("offline")
MANIFEST = "MANIFEST"
FORMAT = "homeleg-offline/1"
PYTHONS = ("3.11", "3.12", "3.13")
SOURCES = ("pyproject.toml", "README.md", "LICENSE", "src")
PAGES = ("README.md", "CHANGELOG.md", "LICENSE", "docs", "examples")

_OLDER_PYTHON = re.compile(r"""python_version\s*<\s*["']3\.(\d+)["']""")


class MixedVersionsError(Exception):
    """The folder would hold two versions of one wheel; pip would take the newer unasked."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Target:
    """A system to gather for: its start script and the wheel platforms it takes, in pip's words."""

    name: str
    platforms: tuple[str, ...]
    template: str
    script: str


# glibc 2.28 is that of Debian 10 and RHEL 8. pip does not derive the older names from the newer.
_MANYLINUX = tuple(f"manylinux_2_{minor}_x86_64" for minor in range(28, 16, -1))
TARGETS = (
    Target(
        name="linux-x86_64",
        platforms=(*_MANYLINUX, "manylinux2014_x86_64"),
        template="start-unix.sh",
        script="start-linux.sh",
    ),
    Target(
        name="windows-amd64",
        platforms=("win_amd64",),
        template="start-windows.bat",
        script="start-windows.bat",
    ),
    Target(
        name="macos-arm64",
        platforms=("macosx_12_0_arm64",),
        template="start-unix.sh",
        script="start-macos.command",
    ),
    Target(
        name="macos-x86_64",
        platforms=("macosx_12_0_x86_64",),
        template="start-unix.sh",
        script="start-macos.command",
    ),
)


def download_command(
    target: Target, python: str, wheels: Path, requirements: Iterable[str]
) -> list[str]:
    """Return the command that fetches the wheels of one target and Python into a folder."""
    platforms = [word for name in target.platforms for word in ("--platform", name)]
    return [
        *(sys.executable, "-m", "pip", "download", "--quiet", "--only-binary=:all:"),
        *("--implementation", "cp", "--python-version", python, *platforms),
        *("--dest", str(wheels), *sorted(requirements)),
    ]


def marked_requirements(metadata: str) -> set[str]:
    """Return the requirements that only some systems or Pythons have, without their markers.

    pip judges a marker by the machine it runs on, not by the one it fetches for. So these are
    fetched for all: a wheel too many does no harm, one too few does. Left out are extras, and
    what only Pythons older than ours need.
    """
    marked = set()
    for requirement in HeaderParser().parsestr(metadata).get_all("Requires-Dist", []):
        name, _, marker = requirement.partition(";")
        older = _OLDER_PYTHON.fullmatch(marker.strip())
        if older and int(older[1]) <= _minor(PYTHONS[0]):
            continue
        if marker and "extra" not in marker:
            marked.add(name.strip())
    return marked


def refuse_mixed_versions(wheel_names: Iterable[str]) -> None:
    """Raise MixedVersionsError if two versions of one distribution claim the same tags."""
    versions: dict[tuple[str, str], set[str]] = {}
    for wheel_name in wheel_names:
        distribution, version, tags = wheel_name.removesuffix(".whl").split("-", 2)
        versions.setdefault((distribution, tags), set()).add(version)
    mixed = [
        f"{distribution} ({', '.join(sorted(several))})"
        for (distribution, _), several in sorted(versions.items())
        if len(several) > 1
    ]
    if mixed:
        raise MixedVersionsError(
            f"two versions of {'; '.join(mixed)} in one folder\n"
            "  Remove the folder, or name another one, and gather again."
        )


def start_script(template: str, version: str, wheel_digest: str, pythons: Sequence[str]) -> str:
    """Return the text of a start script, which installs again when the program has changed."""
    newest_first = sorted(pythons, key=_minor, reverse=True)
    for word, text in (
        ("@VERSION@", version),
        ("@STAMP@", f"{version} {wheel_digest[:16]}"),
        ("@VERSIONS@", " ".join(pythons)),
        ("@NEWEST_FIRST@", " ".join(newest_first)),
        ("@PYTHONS@", " ".join(f"python{python}" for python in newest_first)),
    ):
        template = template.replace(word, text)
    return template


def manifest_text(folder: Path, version: str, gathered: datetime) -> str:
    """Return the list of all files with their SHA-256, under what they are and when."""
    files = sorted(path.relative_to(folder) for path in folder.rglob("*") if path.is_file())
    lines = [f"# {FORMAT}", f"# homeleg {version}", f"# gathered {gathered:%Y-%m-%d %H:%MZ}"]
    lines += [f"{_digest(folder / file)}  {file.as_posix()}" for file in files]
    return "\n".join(lines) + "\n"


def gather(
    folder: Path, targets: Sequence[Target], pythons: Sequence[str], gathered: datetime
) -> str:
    """Fill the folder and return the version gathered. Needs a network."""
    wheels = folder / "wheels"
    wheels.mkdir(parents=True, exist_ok=True)
    (folder / MANIFEST).unlink(missing_ok=True)  # it vouches for a finished folder only
    own_wheel = _build_wheel(wheels)
    refuse_mixed_versions(wheel.name for wheel in wheels.glob("*.whl"))
    wanted = {str(own_wheel), "pip"}
    for target in targets:
        for python in pythons:
            print(f"{target.name}, Python {python}")
            wanted |= _fetch(target, python, wheels, wanted)
    refuse_mixed_versions(wheel.name for wheel in wheels.glob("*.whl"))
    version = own_wheel.name.split("-")[1]
    _write_scripts(folder, targets, version, _digest(own_wheel), pythons)
    _copy(PAGES, folder)
    (folder / MANIFEST).write_text(manifest_text(folder, version, gathered), "utf-8")
    return version


def _build_wheel(wheels: Path) -> Path:
    """Build our own wheel from a clean copy: what an earlier build left would end up in it."""
    with tempfile.TemporaryDirectory() as made:
        source, built = Path(made, "source"), Path(made, "built")
        source.mkdir()
        _copy(SOURCES, source)
        command = [sys.executable, "-m", "pip", "wheel", "--quiet", "--no-deps"]
        _run([*command, "--wheel-dir", str(built), str(source)])
        [wheel] = built.glob("homeleg-*.whl")
        return Path(shutil.copy(wheel, wheels))


def _fetch(target: Target, python: str, wheels: Path, wanted: set[str]) -> set[str]:
    """Fetch the wheels of one target until no marked requirement is missing; return all asked."""
    while True:
        _run(download_command(target, python, wheels, wanted))
        found = set().union(*(marked_requirements(_metadata(w)) for w in wheels.glob("*.whl")))
        if found <= wanted:
            return wanted
        wanted = wanted | found


def _metadata(wheel: Path) -> str:
    with zipfile.ZipFile(wheel) as archive:
        distribution, version, _ = wheel.name.split("-", 2)
        return archive.read(f"{distribution}-{version}.dist-info/METADATA").decode("utf-8")


def _write_scripts(
    folder: Path, targets: Sequence[Target], version: str, digest: str, pythons: Sequence[str]
) -> None:
    for target in targets:
        template = (TEMPLATES / target.template).read_text("utf-8")
        path = folder / target.script
        ending = "\r\n" if path.suffix == ".bat" else "\n"
        path.write_text(start_script(template, version, digest, pythons), "utf-8", newline=ending)
        path.chmod(0o755)


def _copy(names: Iterable[str], into: Path) -> None:
    for name in names:
        source, copy = ROOT / name, into / name
        if source.is_dir():
            ignored = shutil.ignore_patterns("__pycache__", "*.egg-info")
            shutil.copytree(source, copy, ignore=ignored, dirs_exist_ok=True)
        else:
            shutil.copy(source, copy)


def _minor(python: str) -> int:
    return int(python.removeprefix("3."))


def _digest(file: Path) -> str:
    with file.open("rb") as stream:
        return hashlib.file_digest(stream, "sha256").hexdigest()


def _run(command: Sequence[str]) -> None:
    subprocess.run(command, check=True)  # noqa: S603 (our own words, no shell)


def main() -> None:
    """Read the command line and gather."""
    names = [target.name for target in TARGETS]
    parser = argparse.ArgumentParser(description=(__doc__ or "").partition("\n")[0])
    parser.add_argument("folder", type=Path, help="folder to fill, such as homeleg-offline")
    parser.add_argument("--target", action="append", choices=names, help="else all of them")
    parser.add_argument("--python", action="append", choices=PYTHONS, help="else all of them")
    chosen = parser.parse_args()
    targets = [target for target in TARGETS if target.name in (chosen.target or names)]
    gathered = datetime.now(UTC)  # noqa: TID251 (a face of the program: it reads the clock)
    try:
        version = gather(chosen.folder, targets, chosen.python or PYTHONS, gathered)
    except MixedVersionsError as error:
        sys.exit(f"{chosen.folder}: {error}")
    except subprocess.CalledProcessError:
        sys.exit("pip failed; its message is above. The folder is unfinished and has no MANIFEST.")
    print(f"homeleg {version} gathered in {chosen.folder}")


if __name__ == "__main__":
    main()
