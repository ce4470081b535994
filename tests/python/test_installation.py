"""The package as users install it: from source and wheel, on old processors, and quickly."""

import os
import re
import shutil
import subprocess
import sys
import tarfile
import zipfile
from collections.abc import Iterator
from pathlib import Path

import pytest

import airchain
from airchain import _core

ROOT = Path(__file__).resolve().parents[2]
BUILD = ROOT / "examples" / "one_point.toml"
#: How long the package may take to import [s].
QUICK = 0.1
TIMES_IMPORT = """
import time
begun = time.perf_counter()
import airchain
print(time.perf_counter() - begun)
"""
SOLVES = f"""
import hashlib, sys
sys.path.insert(0, sys.argv[1])
import airchain
from airchain import _core
build = airchain.load({str(BUILD)!r})
pull = build.level("long").pull([2500.0 + 37.0 * i for i in range(120)])
text = b"".join(pull[name].tobytes() for name in ("power", "boost", "charge_temperature"))
print(_core.instruction_set(), hashlib.sha256(text).hexdigest())
"""


def ran(*command: str | Path, **more: str) -> str:
    """What a command prints; its words where it fails."""
    plain = {k: v for k, v in os.environ.items() if k not in ("PYTHONPATH", "PYTHONHOME")}
    done = subprocess.run(
        [*map(str, command)], capture_output=True, text=True, check=False, env={**plain, **more}
    )
    assert done.returncode == 0, f"{command}\n{done.stdout[-3000:]}\n{done.stderr[-3000:]}"
    return done.stdout


def import_time(python: str | Path, **more: str) -> float:
    """Shortest of some imports, each in a new process [s]."""
    return min(float(ran(python, "-c", TIMES_IMPORT, **more)) for _ in range(7))


def test_it_is_imported_in_no_time() -> None:
    folder = str(Path(airchain.__file__).parents[1])
    assert import_time(sys.executable, PYTHONPATH=folder) < QUICK


@pytest.mark.slow
def test_an_old_processor_computes_the_same_bits() -> None:
    emulator = shutil.which("qemu-x86_64")
    if emulator is None:
        pytest.skip("there is no qemu-x86_64, which Debian has as qemu-user")
    folder = str(Path(airchain.__file__).parents[1])
    here = ran(sys.executable, "-c", SOLVES, folder).split()
    # Nehalem of 2008 is the oldest that NumPy's own wheels run on; it has no AVX at all. NumPy's
    # linear algebra takes the emulated one for a newer processor unless it is told.
    command = (emulator, "-cpu", "Nehalem", sys.executable, "-c", SOLVES, folder)
    old = ran(*command, OPENBLAS_CORETYPE="Nehalem").split()
    assert here[0] == _core.instruction_set()
    assert old[0] == "baseline"
    assert old[1] == here[1]


@pytest.fixture(scope="module")
def source_package(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The source package, made as PyPI would have it."""
    out = tmp_path_factory.mktemp("source")
    code = f"import scikit_build_core.build as b; print(b.build_sdist({str(out)!r}))"
    done = subprocess.run(
        [sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stderr
    (made,) = out.glob("*.tar.gz")
    return made


@pytest.mark.slow
def test_the_source_package_holds_the_source_and_nothing_else(source_package: Path) -> None:
    with tarfile.open(source_package) as tar:
        names = {"/".join(name.split("/")[1:]) for name in tar.getnames()}
    for wanted in ("pyproject.toml", "LICENSE", "README.md", "CMakeLists.txt", "PKG-INFO"):
        assert wanted in names
    for file in [*ROOT.glob("cpp/**/*.?pp"), *ROOT.glob("python/airchain/**/*.py*")]:
        if "__pycache__" not in file.parts:
            assert file.relative_to(ROOT).as_posix() in names
    strange = [n for n in names if re.search(r"\.so$|__pycache__|^build/|^\.venv|demo/out", n)]
    assert strange == []


@pytest.fixture(scope="module")
def wheel(source_package: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The wheel that the source package makes: some ten minutes of a processor."""
    out = tmp_path_factory.mktemp("wheel")
    ran(sys.executable, "-m", "pip", "wheel", "--quiet", "--no-deps", "--no-build-isolation",
        "--wheel-dir", out, source_package)  # fmt: skip
    (made,) = out.glob("*.whl")
    return made


@pytest.mark.slow
def test_the_wheel_holds_no_path_of_this_machine(wheel: Path) -> None:
    # Python and compiler write the places of their sources into what they make.
    ours = [str(ROOT), str(Path.home()) + "/", os.sep + os.path.join("tmp", "")]
    with zipfile.ZipFile(wheel) as archive:
        for name in archive.namelist():
            raw = archive.read(name)
            for path in ours:
                assert path.encode() not in raw, f"{name} holds {path}"
            assert not name.startswith("/")
        names = archive.namelist()
    assert any(re.fullmatch(r"airchain/_core\..*\.so", name) for name in names)
    assert all(re.match(r"airchain(/|-[0-9.]+\.dist-info/)", name) for name in names)


@pytest.fixture(scope="module", params=["", "[all]"], ids=["plain", "all"])
def installed(
    wheel: Path, request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory
) -> Iterator[tuple[str, Path]]:
    """A bare environment with the package, without and with its extras."""
    folder = tmp_path_factory.mktemp("venv")
    ran(sys.executable, "-m", "venv", folder)
    python = folder / "bin" / "python"
    version = "{}.{}".format(*sys.version_info[:2])
    pins = ROOT / ".ci" / f"constraints-{version}.txt"
    held = ["--constraint", pins] if pins.exists() else []
    ran(python, "-m", "pip", "install", "--quiet", "--disable-pip-version-check", *held,
        f"{wheel}{request.param}")  # fmt: skip
    yield request.param, python
    shutil.rmtree(folder, ignore_errors=True)


@pytest.mark.slow
def test_a_bare_environment_has_what_it_was_asked_for(
    installed: tuple[str, Path], tmp_path: Path
) -> None:
    extras, python = installed
    text = ran(python, "-c", SOLVES, "nowhere")
    here = ran(sys.executable, "-c", SOLVES, str(Path(airchain.__file__).parents[1]))
    assert text == here
    assert import_time(python) < QUICK
    names = {row.split()[0].lower() for row in ran(python, "-m", "pip", "list").splitlines()[2:]}
    assert {"airchain", "numpy", "pint", "lazy-loader"} <= names
    command = python.parent / "airchain"
    if not extras:
        assert not names & {"scipy", "matplotlib", "xarray", "zarr", "click", "weasyprint"}
        done = subprocess.run([command, "-h"], capture_output=True, text=True, check=False)
        assert done.stderr == (
            'airchain: click is not installed; pip install "airchain[cli]" brings it\n'
        )
        return
    target = tmp_path / "grid.zarr"
    ran(command, "sweep", BUILD, "--axis", "rpm=3000:7000:9", "--store", target)
    ran(command, "sweep", BUILD, "--axis", "rpm=3000:7000:9", "-o", tmp_path / "grid.nc")
    ran(command, "report", BUILD, "-o", tmp_path / "report.html", AIRCHAIN_CACHE=str(tmp_path))
    assert (tmp_path / "report.html").read_text().rstrip().endswith("</html>")


def newer_python() -> str | None:
    """The newest CPython here that is newer than the one that runs, if there is one."""
    found = {}
    for minor in range(sys.version_info.minor + 1, sys.version_info.minor + 10):
        places = [shutil.which(f"python3.{minor}")]
        places += map(str, Path.home().glob(f".pyenv/versions/3.{minor}.*/bin/python3"))
        for place in filter(None, places):
            if subprocess.run([place, "-c", "import venv, ctypes"], check=False,
                              capture_output=True).returncode == 0:  # fmt: skip
                found[minor] = place
    return found[max(found)] if found else None


@pytest.mark.slow
def test_a_newer_python_installs_it_from_source(source_package: Path, tmp_path: Path) -> None:
    newer = newer_python()
    if newer is None:
        pytest.skip("there is no newer CPython here")
    ran(newer, "-m", "venv", tmp_path / "venv")
    python = tmp_path / "venv" / "bin" / "python"
    ran(python, "-m", "pip", "install", "--quiet", "--disable-pip-version-check", source_package)
    here = ran(sys.executable, "-c", SOLVES, str(Path(airchain.__file__).parents[1]))
    assert ran(python, "-c", SOLVES, "nowhere").split()[1] == here.split()[1]
    assert import_time(python) < QUICK
