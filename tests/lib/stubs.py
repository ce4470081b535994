"""The type stub of the extension: `python tests/lib/stubs.py` writes it anew into the package."""

import ast
import subprocess
import sys
import tempfile
from pathlib import Path

PACKAGE = Path(__file__).resolve().parents[2] / "python" / "airchain"


def generated() -> dict[str, str]:
    """Stub files that belong to the installed extension: path in the package to text."""
    with tempfile.TemporaryDirectory() as folder:
        command = [sys.executable, "-m", "pybind11_stubgen", "--exit-code"]
        run = subprocess.run(
            [*command, "--output-dir", folder, "airchain._core"],
            capture_output=True,
            text=True,
            check=False,
        )
        if run.returncode:
            raise RuntimeError(f"pybind11-stubgen: {run.stderr.strip()}")
        package = Path(folder) / "airchain"
        return {str(f.relative_to(package)): f.read_text() for f in package.rglob("*.pyi")}


def committed() -> dict[str, str]:
    """Stub files that lie in the package."""
    files = [*PACKAGE.glob("_core.pyi"), *PACKAGE.glob("_core/**/*.pyi")]
    return {str(f.relative_to(PACKAGE)): f.read_text() for f in files}


def meaning(text: str) -> str:
    """The stub without its layout, which differs between releases of the generator."""
    return ast.unparse(ast.parse(text))


def main() -> None:
    fresh = generated()
    for name in committed().keys() - fresh.keys():
        (PACKAGE / name).unlink()
    for name, text in fresh.items():
        (PACKAGE / name).parent.mkdir(exist_ok=True)
        (PACKAGE / name).write_text(text)
        print(f"python/airchain/{name}")


if __name__ == "__main__":
    main()
