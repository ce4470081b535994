"""Today's build beside an earlier commit's: the ratio of what a point costs, in one run.

Usage: python tests/bench/compare.py COMMIT [--rounds N] [--jobs N] [--avx2]

The earlier commit is built in a git worktree below build/earlier, today's tree in build/compared,
both optimized as installed. Their benchmarks take turns, and each keeps its shortest processor
time, so that other work on the machine touches both alike. Every turn runs a fresh copy of the
program: where the system happened to put a file's pages moved the time of one and the same program
by up to 12 %. With --avx2 both are built without their AVX-512 kernels, in folders of their own.
Times of one machine say little; the ratios are to be quoted.
"""

from __future__ import annotations

import argparse
import json
import shutil
import subprocess
import sysconfig
import tempfile
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]

#: Program, name of its benchmark and what it stands for.
MEASURED = (
    ("bench_cycle", "plain_point/iterations:26", "cycle point, plain numbers"),
    ("bench_cycle", "surface_in_lanes/1/real_time", "cycle point, in lanes"),
    ("bench_chain", "alone", "chain point, plain numbers"),
    ("bench_chain", "grid/1/real_time", "chain point, in lanes"),
    ("bench_chain", "grid_surface/1/real_time", "chain point on a surface, in lanes"),
)
PROGRAMS = tuple(dict.fromkeys(program for program, _, _ in MEASURED))


def tool(name: str) -> str:
    """Path of a build tool, from this Python's environment or the system."""
    scripts = sysconfig.get_path("scripts")
    found = shutil.which(name, path=scripts) or shutil.which(name)
    if found is None:
        raise SystemExit(f"{name} is missing; tests/run installs it into .venv")
    return found


def worktree(commit: str) -> Path:
    """Worktree of a commit, made where it does not stand yet."""
    git = ["git", "-C", str(ROOT)]
    named = [*git, "rev-parse", "--short=12", "--verify", f"{commit}^{{commit}}"]
    short = subprocess.run(named, check=True, capture_output=True, text=True).stdout.strip()
    place = ROOT / "build" / "earlier" / short
    if not (place / "cpp").is_dir():
        subprocess.run(
            [*git, "worktree", "add", "--force", "--detach", str(place), short], check=True
        )
    return place


def built(tree: Path, jobs: int, avx2: bool) -> Path:
    """Folder of the benchmarks of a tree, built; without AVX-512 where asked."""
    print(f"building the benchmarks of {tree}", flush=True)
    cmake, place = tool("cmake"), tree / "build" / ("compared-avx2" if avx2 else "compared")
    configure = [cmake, "-S", str(tree / "cpp"), "-B", str(place), "-G", "Ninja"]
    # A commit from before these kernels does not know the option, and needs none.
    configure += ["-DAIRCHAIN_AVX512=OFF", "--no-warn-unused-cli"] if avx2 else []
    configure += [f"-DCMAKE_MAKE_PROGRAM={tool('ninja')}", "-DCMAKE_BUILD_TYPE=Release"]
    configure += ["-DAIRCHAIN_TESTS=OFF", "-DAIRCHAIN_BENCH=ON"]
    configure += [f"-DCMAKE_PREFIX_PATH={sysconfig.get_path('platlib')}"]
    subprocess.run(configure, check=True, stdout=subprocess.DEVNULL)
    build = [cmake, "--build", str(place), "--parallel", str(jobs)]
    subprocess.run([*build, "--target", *PROGRAMS], check=True)
    return place / "bench"


def measured(folder: Path, program: str) -> dict[str, float]:
    """Processor time of every benchmark of a program, in its own unit."""
    names = "|".join(name for owner, name, _ in MEASURED if owner == program)
    with tempfile.TemporaryDirectory(dir=folder) as fresh:
        copy = shutil.copy(folder / program, fresh)
        run = [copy, f"--benchmark_filter=^({names})$", "--benchmark_format=json"]
        text = subprocess.run(run, check=True, capture_output=True, text=True).stdout
    scale = {"ns": 1e-9, "us": 1e-6, "ms": 1e-3, "s": 1.0}
    return {
        b["name"]: b["cpu_time"] * scale[b["time_unit"]] for b in json.loads(text)["benchmarks"]
    }


def main() -> None:
    """Build both, let them take turns and print the ratios."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("commit", help="the earlier commit")
    parser.add_argument("--rounds", type=int, default=5, help="turns of each build")
    parser.add_argument("--jobs", type=int, default=1, help="compilers at a time")
    parser.add_argument("--avx2", action="store_true", help="without the AVX-512 kernels")
    asked = parser.parse_args()
    trees = (worktree(asked.commit), ROOT)
    folders = [built(tree, asked.jobs, asked.avx2) for tree in trees]
    shortest: list[dict[str, float]] = [{}, {}]
    for turn in range(asked.rounds):
        print(f"round {turn + 1} of {asked.rounds}", flush=True)
        for program in PROGRAMS:
            for folder, best in zip(folders, shortest, strict=True):
                for name, seconds in measured(folder, program).items():
                    best[name] = min(seconds, best.get(name, seconds))
    print(f"\nprocessor time of {asked.commit} over today's, shortest of {asked.rounds} rounds")
    print(f"{'':36}{'earlier/today':>14}{'today/earlier':>14}")
    for _, name, words in MEASURED:
        earlier, today = (best[name] for best in shortest)
        print(f"{words:36}{earlier / today:14.2f}{today / earlier:14.3f}")


if __name__ == "__main__":
    main()
