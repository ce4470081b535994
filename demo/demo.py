"""The invented Ridge Road scenario: prints its ladder and writes its summary."""

import argparse
import sys
from pathlib import Path

import airchain

HERE = Path(__file__).resolve().parent


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--units", choices=["trade", "si"], default="trade")
    parser.add_argument("--output", type=Path, default=HERE / "out" / "ridge_road.html")
    options = parser.parse_args()

    build = airchain.load(HERE / "ridge_road.toml")
    steps = airchain.ladder(build)
    print(build)
    print()
    print(steps.text(options.units))
    options.output.parent.mkdir(parents=True, exist_ok=True)
    airchain.write_report(build, options.output, steps)
    print(f"\nAn invented build, no measurement. Summary with pictures: {options.output}")
    return 0


if __name__ == "__main__":
    sys.exit(main())
