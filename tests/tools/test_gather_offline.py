"""The folder that installs without a network: commands, start scripts and manifest."""

import hashlib
import importlib.util
import os
import re
import subprocess
import sys
from datetime import UTC, datetime
from pathlib import Path
from types import ModuleType

import pytest

ROOT = Path(__file__).parents[2]


def _tool() -> ModuleType:
    spec = importlib.util.spec_from_file_location(
        "gather_offline", ROOT / "tools" / "gather_offline.py"
    )
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    sys.modules["gather_offline"] = module  # dataclasses look themselves up there
    spec.loader.exec_module(module)
    return module


tool = _tool()
TARGETS = {target.name: target for target in tool.TARGETS}
PLACEHOLDER = re.compile(r"@[A-Z_]+@")


def test_every_system_of_the_field_is_gathered_for() -> None:
    assert set(TARGETS) == {"linux-x86_64", "windows-amd64", "macos-arm64", "macos-x86_64"}


def test_download_command_asks_for_wheels_of_that_system_only() -> None:
    command = tool.download_command(
        TARGETS["windows-amd64"], "3.12", Path("out/wheels"), {"pip", "homeleg.whl"}
    )
    assert command == [
        *(sys.executable, "-m", "pip", "download", "--quiet", "--only-binary=:all:"),
        *("--implementation", "cp", "--python-version", "3.12", "--platform", "win_amd64"),
        *("--dest", str(Path("out/wheels")), "homeleg.whl", "pip"),
    ]


# PEP 600 and PEP 599: manylinux2014 is glibc 2.17; each manylinux_2_x tag takes all below it.
def test_linux_takes_every_manylinux_from_2_17_to_2_28() -> None:
    platforms = TARGETS["linux-x86_64"].platforms
    assert [f"manylinux_2_{minor}_x86_64" in platforms for minor in range(16, 30)] == [
        17 <= minor <= 28 for minor in range(16, 30)
    ]
    assert "manylinux2014_x86_64" in platforms


def test_no_host_is_named() -> None:
    texts = [path.read_text("utf-8") for path in (ROOT / "tools").rglob("*.*") if path.is_file()]
    assert len(texts) >= 3
    assert [text for text in texts if "http" in text or "index-url" in text] == []


METADATA = """\
Metadata-Version: 2.4
Name: sample
Version: 1.0
Requires-Dist: numpy>=1.26
Requires-Dist: colorama>=0.4; platform_system == "Windows"
Requires-Dist: tomli; python_version < "3.11"
Requires-Dist: backport; python_version < "3.12"
Requires-Dist: newer ; python_version >= "3.13"
Requires-Dist: pytest; extra == "test"

Requires-Dist: prose; platform_system == "Windows"
"""


def test_what_only_some_machines_need_is_found_by_its_marker() -> None:
    assert tool.marked_requirements(METADATA) == {"colorama>=0.4", "backport", "newer"}


@pytest.mark.parametrize(
    ("names", "mixed"),
    [
        (["homeleg-0.1.0-py3-none-any.whl", "homeleg-0.2.0-py3-none-any.whl"], "homeleg"),
        (["numba-0.62.1-cp311-cp311-win_amd64.whl", "numba-0.68.1-cp311-cp311-win_amd64.whl"], "n"),
    ],
)
def test_two_versions_for_the_same_machine_are_refused(names: list[str], mixed: str) -> None:
    with pytest.raises(tool.MixedVersionsError, match=f"two versions of {mixed}"):
        tool.refuse_mixed_versions(["click-8.5.1-py3-none-any.whl", *names])


def test_machines_may_have_their_own_versions() -> None:
    tool.refuse_mixed_versions(
        [
            "numba-0.62.1-cp311-cp311-macosx_10_15_x86_64.whl",
            "numba-0.68.1-cp311-cp311-win_amd64.whl",
        ]
    )


def test_a_folder_of_another_version_is_refused_before_anything_is_fetched(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def built(wheels: Path) -> Path:
        wheel = wheels / "homeleg-0.2.0-py3-none-any.whl"
        wheel.touch()
        return wheel

    def fetched(command: list[str]) -> None:
        raise AssertionError(command)

    monkeypatch.setattr(tool, "_build_wheel", built)
    monkeypatch.setattr(tool, "_run", fetched)
    (tmp_path / "wheels").mkdir()
    (tmp_path / "wheels" / "homeleg-0.1.0-py3-none-any.whl").touch()
    (tmp_path / "MANIFEST").touch()
    with pytest.raises(tool.MixedVersionsError, match=r"homeleg \(0.1.0, 0.2.0\)"):
        tool.gather(tmp_path, tool.TARGETS, tool.PYTHONS, datetime(2026, 6, 9, tzinfo=UTC))
    assert not (tmp_path / "MANIFEST").exists()


@pytest.mark.parametrize("name", sorted(TARGETS))
def test_start_scripts_are_filled_in_and_use_no_network(name: str) -> None:
    template = (tool.TEMPLATES / TARGETS[name].template).read_text("utf-8")
    text = tool.start_script(template, "0.1.0", "0123456789abcdef" * 4, ("3.11", "3.12"))
    assert PLACEHOLDER.findall(template) != []
    assert PLACEHOLDER.findall(text) == []
    assert "--no-index" in text
    assert "0.1.0 0123456789abcdef" in text
    assert "3.12 3.11" in text or "python3.12 python3.11" in text
    assert "homeleg" in text
    assert " warm" in text


def test_windows_labels_exist() -> None:
    text = (tool.TEMPLATES / "start-windows.bat").read_text("utf-8")
    labels = set(re.findall(r"^:(\w+)", text, re.MULTILINE))
    assert set(re.findall(r"(?:call :|goto )(\w+)", text)) == labels


def test_manifest_is_what_sha256sum_reads(tmp_path: Path) -> None:
    (tmp_path / "wheels").mkdir()
    (tmp_path / "wheels" / "a.whl").write_bytes(b"abc")
    (tmp_path / "start-linux.sh").write_bytes(b"")
    text = tool.manifest_text(tmp_path, "0.1.0", datetime(2026, 6, 9, 17, 5, tzinfo=UTC))
    # FIPS 180-4's sample digest of "abc", and the well-known one of nothing.
    assert text == (
        "# homeleg-offline/1\n"
        "# homeleg 0.1.0\n"
        "# gathered 2026-06-09 17:05Z\n"
        "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855  start-linux.sh\n"
        "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad  wheels/a.whl\n"
    )


@pytest.mark.slow
@pytest.mark.network
def test_a_gathered_folder_starts_with_every_index_shut(tmp_path: Path) -> None:
    folder = tmp_path / "homeleg-offline"
    python = f"3.{sys.version_info.minor}"
    command = [sys.executable, str(ROOT / "tools" / "gather_offline.py"), str(folder)]
    subprocess.run([*command, "--target", "linux-x86_64", "--python", python], check=True)  # noqa: S603
    environment = {"HOME": str(tmp_path), "PATH": os.environ["PATH"], "PIP_NO_INDEX": "1"}
    start = ["/bin/sh", str(folder / "start-linux.sh")]
    sortie = str(folder / "examples" / "tern-point" / "sortie.toml")
    answer = subprocess.run(  # noqa: S603
        [*start, "check", sortie, "--quick"],
        env=environment,
        check=True,
        capture_output=True,
        text=True,
    )
    assert answer.stdout.startswith("GO")
    for line in (folder / "MANIFEST").read_text("utf-8").splitlines()[3:]:
        digest, name = line.split("  ")
        assert hashlib.sha256((folder / name).read_bytes()).hexdigest() == digest
