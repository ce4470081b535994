"""Build files and maps changed at random: refused by name, or solved to what is possible."""

from __future__ import annotations

from collections import Counter
from pathlib import Path

import seeds
from checks import pull_is_possible, refused
from mutator import Mutator

import airchain
from airchain import InputError
from airchain.buildfile.map_file import parse_map

SPEEDS = [2500.0, 4500.0, 6500.0]


def solved(path: Path, outcomes: Counter[str]) -> None:
    """Load a build, pull it, and look at every point."""
    build = refused(lambda: airchain.load(path))
    if isinstance(build, InputError):
        outcomes["refused"] += 1
        return
    assert isinstance(build, airchain.Build)
    outcomes["loaded"] += 1
    for level in [*build.levels][:1] or [""]:
        pull = refused(lambda level=level: build.level(level).pull(SPEEDS))  # type: ignore[misc]
        if isinstance(pull, InputError):
            outcomes["pull refused"] += 1
            continue
        outcomes["matched"] += pull_is_possible(pull)
        outcomes["unsolved"] += int((~pull.matched).sum())
        assert pull.verdict
        assert isinstance(pull.text(), str)
        assert pull._repr_html_()


def test_changed_build_files(times: int, tmp_path: Path, root: Path) -> None:
    outcomes: Counter[str] = Counter()
    texts = seeds.builds(root)
    (tmp_path / "one_point_map.csv").write_text(seeds.blower(root))
    count = 160 * times
    for seed in range(count):
        text = texts[seed % len(texts)]
        path = tmp_path / "build.toml"
        path.write_bytes(Mutator(seed).build(text).encode("utf-8", "surrogatepass"))
        try:
            solved(path, outcomes)
        except BaseException as error:
            error.add_note(f"build seed {seed}; file kept at {path}")
            raise
    print(dict(outcomes))
    assert outcomes["loaded"] >= count / 2, outcomes
    assert outcomes["matched"] > count / 2, outcomes


def test_changed_maps(times: int, tmp_path: Path, root: Path) -> None:
    text = seeds.blower(root)
    build = (root / "examples" / "one_point.toml").read_text()
    (tmp_path / "build.toml").write_text(build)
    outcomes: Counter[str] = Counter()
    count = 150 * times
    for seed in range(count):
        changed = Mutator(seed).table(text)
        (tmp_path / "one_point_map.csv").write_bytes(changed.encode("utf-8", "surrogatepass"))
        try:
            refused(lambda changed=changed: parse_map(changed, "map.csv"))  # type: ignore[misc]
            solved(tmp_path / "build.toml", outcomes)
        except BaseException as error:
            error.add_note(f"map seed {seed}")
            raise
    print(dict(outcomes))
    assert outcomes["loaded"] >= count / 2, outcomes
