"""What is kept is bounded, shared among threads, and changes no answer."""

import gc
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor

import pytest

import airchain
import scenario
from airchain.base.errors import refusal
from airchain.base.kept import ByIdentity, Kept
from airchain.cylinder import assembly
from airchain.typed import kept_parts
from airchain.typed.place import Arguments, Typed


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


CHANGES = (
    {"cooler.effectiveness": 0.7, "cooler.measured": None, "ambient.temperature": "80 degF"},
    {"fuel.lambda": 0.83, "engine.compression_ratio": 8.6},
    {"engine.bore": "4.13 in", "engine.camshaft.exhaust.duration": "246 deg"},
    {"engine.collectors.length": "20 in", "engine.runner.length": "9 in"},
    {"engine.intake_port.valve_diameter": "2.2 in", "compressor.inertia": "0.002 kg m^2"},
)


@pytest.mark.parametrize("changes", CHANGES, ids=lambda one: next(iter(one)))
def test_a_build_of_kept_parts_is_one_made_anew(
    changes: dict[str, str | float | None], monkeypatch: pytest.MonkeyPatch
) -> None:
    build = airchain.load(scenario.FILE)
    kept = build.replace(changes).replace({"engine.stroke": "4.01 in"})
    for place, name in ((kept_parts, "_kept"), (assembly, "_charged")):
        monkeypatch.setattr(place, name, Kept(1))
    anew = airchain.load(scenario.FILE).replace({**changes, "engine.stroke": "4.01 in"})
    assert anew == kept
    assert anew.cylinder.setup == kept.cylinder.setup
    assert anew.cylinder.layout == kept.cylinder.layout
    assert anew.fuel_system == kept.fuel_system


def test_a_value_makes_only_its_own_part_anew(monkeypatch: pytest.MonkeyPatch) -> None:
    build, made = airchain.load(scenario.FILE), []
    once = kept_parts._kept.get

    def watched(key: tuple[str, ...], make: Callable[[], object]) -> object:
        return once(key, lambda: made.append(key[1].split()[0]) or make())

    monkeypatch.setattr(kept_parts._kept, "get", watched)
    charged = len(assembly._charged)
    for changes, parts in (
        ({"engine.compression_ratio": 8.3217}, {"engine", "exhaust", "combustion"}),
        ({"engine.camshaft.exhaust.duration": "245.3 deg"}, {"_camshaft", "_valve"}),
        ({"cooler.coolant_temperature": "66.3 degF"}, {"cooler"}),
    ):
        made.clear()
        build.replace(changes)
        assert parts <= {*made} <= parts | {"engine", "exhaust", "combustion"}
    assert len(assembly._charged) == charged


@pytest.mark.parametrize("table", [{"map": "a.csv"}, [{"intake": {"lift_file": "a.csv"}}]])
def test_a_file_that_a_table_names_is_read_each_time(table: Typed) -> None:
    made: list[int] = []
    for _ in range(2):
        kept_parts.made_once(Arguments("call"), "files", table, lambda: made.append(1))
    assert len(made) == 2


def test_what_was_refused_in_part_is_not_kept() -> None:
    for _ in range(2):
        assert _half_refused(Arguments("call")) == (7.0, 1)


def _half_refused(source: Arguments) -> tuple[float, int]:
    """What is made where a part is refused, and how many refusals were noted."""
    made = kept_parts.made_once(
        source, "half", [1.0], lambda: source.attempt(_refused, otherwise=7.0)
    )
    return made, len(source.errors)


def _refused() -> float:
    raise refusal("call", "half", "1", "be 2")


@pytest.mark.parametrize(
    ("path", "value"),
    [
        ("cooler.effectivenes", 0.7),
        ("engine.runner.length", "9 furlongs"),
        ("engine.compression_ratio", 80.0),
        ("engine.intake_port.valve_diameter", "0.2 in"),
        ("engine.camshaft.intake_centreline", "20 deg"),
        ("fuel_system.pumps.count", 0),
    ],
)
def test_a_refusal_is_told_again(
    path: str, value: float | str, monkeypatch: pytest.MonkeyPatch
) -> None:
    build, told = airchain.load(scenario.FILE), []
    for anew in (False, False, True):
        if anew:
            for place, name in ((kept_parts, "_kept"), (assembly, "_charged")):
                monkeypatch.setattr(place, name, Kept(1))
        with pytest.raises(airchain.InputError, match=path.split(".")[1]) as refused:
            build.replace({path: value})
        told.append(str(refused.value))
    assert len({*told}) == 1
