"""The rules of the source tree hold, and each of them notices when it does not."""

import platform
from pathlib import Path

import pytest

import house
import house_rooms
import loose_types
import stubs

FLOORS = (
    "| floor | rooms |\n|---|---|\n| 1 | `base` guards |\n| 2 | `low`, `side` |\n| 3 | `top` |\n"
)


@pytest.fixture
def small(tmp_path: Path) -> Path:
    """A tree with rooms on three floors and nothing wrong in it."""
    (tmp_path / "DEVELOPERS.md").write_text(FLOORS)
    for room, target in [("base", "<cmath>"), ("low", '"airchain/base/a.hpp"')]:
        write(tmp_path / f"cpp/include/airchain/{room}/a.hpp", f"#include {target}\n")
        write(tmp_path / f"tests/cpp/{room}/test_a.cpp", "int a;\n")
    return tmp_path


def write(file: Path, text: str) -> None:
    """Write a file and the folders above it."""
    file.parent.mkdir(parents=True, exist_ok=True)
    file.write_text(text)


def test_includes_go_downwards_only(root: Path) -> None:
    assert len(list(house.core_includes(root))) > 10
    assert house.wrong_includes(root) == []


@pytest.mark.parametrize(
    ("room", "target", "words"),
    [
        ("base", "airchain/low/a.hpp", "floor 1"),
        ("low", "airchain/side/a.hpp", "floor 2"),
        ("low", "airchain/attic/a.hpp", "not in the table"),
        ("low", "airchain/all.hpp", "not in the table"),
        ("attic", "airchain/base/a.hpp", "not in the table"),
    ],
)
def test_notices_an_include_that_goes_up(small: Path, room: str, target: str, words: str) -> None:
    assert house.wrong_includes(small) == []
    write(small / f"cpp/src/{room}/b.cpp", f'// why\n#include "{target}"\n')
    (complaint,) = house.wrong_includes(small)
    assert complaint.startswith(f"cpp/src/{room}/b.cpp:2: includes {target}")
    assert words in complaint


def test_core_does_without_threads_files_and_python(root: Path) -> None:
    assert house.barred_includes(root) == []


@pytest.mark.parametrize("header", ["thread", "format", "fstream", "bit", "pybind11/numpy.h"])
def test_notices_a_barred_header_outside_sweep(small: Path, header: str) -> None:
    write(small / "cpp/src/sweep/b.cpp", f"#include <{header}>\n")
    assert house.barred_includes(small) == []
    write(small / "cpp/src/low/b.cpp", f"#include <{header}>\n")
    assert house.barred_includes(small) == [f"cpp/src/low/b.cpp:1: includes <{header}>"]


def test_one_room_has_one_name_everywhere(root: Path) -> None:
    assert house.unmatched_rooms(root) == []


def test_notices_a_room_without_tests_and_a_folder_without_room(small: Path) -> None:
    assert house.unmatched_rooms(small) == []
    write(small / "cpp/include/airchain/top/a.hpp", "")
    write(small / "tests/cpp/attic/test_a.cpp", "")
    write(small / "cpp/bindings/bind_cellar.cpp", "")
    write(small / "cpp/bindings/bind_top_floor.cpp", "")
    write(small / "cpp/bindings/top_stairs.cpp", "void bind_stairs(py::module_& m);")
    write(small / "cpp/bindings/tools.cpp", "int tool();")
    assert house.unmatched_rooms(small) == [
        "top: has no tests in tests/cpp/top",
        "tests/cpp/attic: names no room",
        "cpp/bindings/bind_cellar.cpp: names no room",
        "cpp/bindings/top_stairs.cpp: names no room",
    ]


def test_files_are_short(root: Path) -> None:
    assert house.long_files(root) == []


def test_binding_files_are_short(root: Path) -> None:
    assert house.long_binding_files(root) == []


def test_notices_a_long_file(small: Path) -> None:
    write(small / "python/long.py", "a = 1\n" * 401)
    assert house.long_files(small) == ["python/long.py: 401 lines"]
    write(small / "cpp/bindings/bind_low.cpp", "int a;\n" * 121)
    assert house.long_binding_files(small) == ["cpp/bindings/bind_low.cpp: 121 lines"]


def test_no_code_stands_twice(root: Path) -> None:
    assert house.repeated_code(root) == []


def test_notices_code_that_stands_twice(small: Path) -> None:
    block = "\n\n".join(f"value_{i} = {i} * x" for i in range(10))
    write(small / "python/a.py", f"import os\n{block}\n")
    assert house.repeated_code(small) == []
    write(small / "python/b.py", f"# here\n{block}\n")
    assert house.repeated_code(small) == ["python/b.py:2: stands also at python/a.py:2"]


def test_nothing_names_a_machine_or_is_left_undone(root: Path) -> None:
    assert house.machine_paths(root) == []


def test_notices_a_path_of_a_machine(small: Path) -> None:
    line = "see /" + "home/someone/notes"
    write(small / "python/a.py", f"# {line}\n")
    assert house.machine_paths(small) == [f"python/a.py:1: # {line}"]


def test_top_level_is_the_agreed_layout(root: Path) -> None:
    if not (root / ".git").exists():
        pytest.skip("a source archive has no list of its files")
    assert house.top_level(root) == []


def test_stubs_are_current() -> None:
    fresh, committed = stubs.generated(), stubs.committed()
    assert fresh.keys() == committed.keys(), "write them anew: python tests/lib/stubs.py"
    for name, text in fresh.items():
        assert stubs.meaning(text) == stubs.meaning(committed[name]), (
            f"{name}: write it anew: python tests/lib/stubs.py"
        )


def test_types_say_nothing_in_few_places_and_each_has_a_reason() -> None:
    places = loose_types.places()
    assert len(places) <= loose_types.MOST
    assert {place.partition(":")[0] for place in places} == set(loose_types.REASONS)


def test_package_is_marked_as_typed() -> None:
    assert (stubs.PACKAGE / "py.typed").is_file()


@pytest.mark.skipif(platform.machine() not in ("x86_64", "AMD64"), reason="no such kernels here")
def test_kernels_share_no_code_with_the_plain_build(root: Path) -> None:
    objects = house.kernel_objects(root)
    assert {house.instruction_set_of(f) for f in objects} == {"avx2", "avx512"}, "by tests/run"
    assert house.shared_code(house.symbols(objects)) == []


def test_notices_shared_code_in_the_kernel() -> None:
    listing = (
        "0000000000000000 T airchain::sweep::run_avx2(int)\n"
        "0000000000000000 W airchain::numerics::Pack<4, airchain::sweep::Avx2>::plain()\n"
        "0000000000000000 W std::vector<double>::push_back(double const&)\n"
        "0000000000000000 V DW.ref.__gxx_personality_v0\n"
        "                 w __cxa_finalize\n"
    )
    other_set = "airchain::numerics::Pack<4, airchain::sweep::Avx2>::plain()"
    objects = {
        Path("dev/sweep/kernel_avx2.cpp.o"): listing,
        Path("dev/sweep/kernel_avx512.cpp.o"): f"0000000000000000 W {other_set}\n",
        Path("wheel/sweep/kernel_avx2.cpp.o"): "",
    }
    assert house.shared_code(objects) == [
        "dev/sweep/kernel_avx2.cpp.o: std::vector<double>::push_back(double const&)",
        f"dev/sweep/kernel_avx512.cpp.o: {other_set}",
    ]


def test_imports_of_the_package_go_downwards_only(root: Path) -> None:
    assert len(list(house_rooms.imports(root))) > 300
    assert house_rooms.wrong_imports(root) == []


def test_no_two_files_of_the_package_import_each_other(root: Path) -> None:
    assert house_rooms.circles(root) == []


def test_no_room_reaches_for_what_another_keeps_private(root: Path) -> None:
    assert house_rooms.private_reaches(root) == []


def test_top_of_the_package_holds_rooms_only(root: Path) -> None:
    assert house_rooms.top_floor(root) == []


@pytest.fixture
def small_package(tmp_path: Path) -> Path:
    """A package of two rooms with nothing wrong in it."""
    rows = "| floor | rooms |\n|---|---|\n| 1 | `low` |\n| 2 | `high`, `side` |\n"
    write(tmp_path / "DEVELOPERS.md", f"### Rooms of the package\n\n{rows}")
    package = tmp_path / house_rooms.PACKAGE
    for file in ("__init__", "low/__init__", "high/__init__", "side/__init__"):
        write(package / f"{file}.py", "")
    write(package / "low/a.py", "def kept():\n    return _own\n\n\n_own = 1\n")
    write(package / "high/b.py", "from ..low.a import kept\nfrom .. import _core\n")
    return tmp_path


@pytest.mark.parametrize(
    ("file", "line", "rule", "words"),
    [
        ("low/c.py", "from ..high import b", "wrong_imports", "floor 2"),
        ("low/c.py", "def f():\n    from ..high.b import kept", "wrong_imports", "floor 2"),
        ("low/c.py", "if TYPE_CHECKING:\n    from ..high.b import T", "wrong_imports", "floor 2"),
        ("low/c.py", "import airchain.high.b", "wrong_imports", "floor 2"),
        ("side/c.py", "from ..high.b import kept", "wrong_imports", "floor 2"),
        ("side/c.py", "from ..attic import kept", "wrong_imports", "no room"),
        ("low/a.py", "from .d import x", "circles", "low/a.py <-> "),
        ("low/a.py", "def f():\n    from . import d", "circles", "low/a.py <-> "),
        ("side/c.py", "from ..low.a import _own", "private_reaches", "_own"),
        ("side/c.py", "from ..low._a import own", "private_reaches", "_a"),
        ("side/c.py", "def f(thing):\n    return thing._own", "private_reaches", "_own"),
        ("attic.py", "", "top_floor", "attic.py"),
    ],
)
def test_notices_what_no_room_may_do(
    small_package: Path, file: str, line: str, rule: str, words: str
) -> None:
    check = getattr(house_rooms, rule)
    assert check(small_package) == []
    package = small_package / house_rooms.PACKAGE
    write(package / "low/d.py", "from .a import kept\nx = kept\n")
    write(package / file, f"{line}\n")
    (complaint,) = check(small_package)
    assert words in complaint
