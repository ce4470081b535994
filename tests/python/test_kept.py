"""What is kept is bounded, shared among threads, and changes no answer."""

import gc
from concurrent.futures import ThreadPoolExecutor

import numpy as np
import pytest

import scenario
from airchain.base.kept import ByIdentity, Kept
from airchain.buildfile import assemble


def test_the_one_not_asked_for_longest_goes_first() -> None:
    kept, made = Kept[int](2), []

    def ask(key: int) -> int:
        return kept.get(key, lambda: made.append(key) or key)

    for key in (1, 2, 1, 3, 1, 2):
        assert ask(key) == key
    assert made == [1, 2, 3, 2]
    assert len(kept) == 2


def test_what_raises_is_not_kept() -> None:
    kept = Kept[int](2)
    with pytest.raises(ZeroDivisionError):
        kept.get("one", lambda: 1 // 0)
    assert kept.get("one", lambda: 1) == 1


def test_threads_that_ask_at_once_get_the_same_thing() -> None:
    kept = Kept[object](50)
    with ThreadPoolExecutor(8) as pool:
        found = list(pool.map(lambda i: (i % 40, kept.get(i % 40, object)), range(4000)))
    assert len(set(found)) == 40


def test_what_belongs_to_a_thing_goes_with_it() -> None:
    made: list[int] = []
    sizes = ByIdentity[set, int](lambda one: made.append(len(one)) or len(one))
    thing = {1, 2}
    assert (sizes.get(thing), sizes.get(thing), len(sizes)) == (2, 2, 1)
    assert made == [2]
    del thing
    gc.collect()
    assert len(sizes) == 0


def test_a_build_of_kept_stations_is_one_made_anew(monkeypatch: pytest.MonkeyPatch) -> None:
    changes = {
        "cooler.effectiveness": 0.7,
        "cooler.measured": None,
        "ambient.temperature": "80 degF",
    }
    kept = scenario.typed().replace(changes)
    monkeypatch.setattr(assemble, "_stations", Kept(1))
    anew = scenario.typed().replace(changes)
    assert anew == kept
    assert np.array_equal(anew.pull([5000])["power"], kept.pull([5000])["power"])


def test_a_refusal_is_told_again(monkeypatch: pytest.MonkeyPatch) -> None:
    for _ in range(2):
        with pytest.raises(ValueError, match=r"^replace: cooler.effectivenes = 0.7; must be a key"):
            scenario.typed().replace({"cooler.effectivenes": 0.7})
