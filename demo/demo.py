"""The invented Ridge Road scenario: prints its ladder at once, fits, and writes its report.

The ladder comes straight from the cylinder's cycles. Fit, calibration and report stand on a
breathing surface, which the fit makes first.
"""

import argparse
import sys
from pathlib import Path

import airchain
from airchain.fit import Comparison, Reconciliation
from airchain.regearing import regear
from airchain.report import day_sheet

HERE = Path(__file__).resolve().parent


ENGINE_INERTIA = "0.28 kg m^2"


def steady(build: airchain.Build, level: str, log: str) -> airchain.MeasuredPull:
    """The first pull of an invented log, as if every speed had been held."""
    drive = build.level(level).chain.drive
    pull = airchain.read_pulls(HERE / "pulls" / log).pulls[0]
    rotor = f"{drive.inertia} kg m^2"
    return pull.steady(ENGINE_INERTIA, rotor, drive.speed_ratio)


def predictions(
    build: airchain.Build,
) -> tuple[Reconciliation, list[Comparison]]:
    """The fit to the tame step, and the next two steps predicted from it alone."""
    fit = airchain.reconcile(build, {"tame": steady(build, "tame", "tame.csv")})
    logs = {"middle": "middle.csv", "full": "full.txt"}
    told = [
        airchain.predict(fit, level).compare(steady(build, level, log))
        for level, log in logs.items()
    ]
    return fit, told


def measured() -> dict[str, airchain.MeasuredPull]:
    """The first pull of every invented log, as it was read."""
    logs = {"tame": "tame.csv", "middle": "middle.csv", "full": "full.txt"}
    return {n: airchain.read_pulls(HERE / "pulls" / log).pulls[0] for n, log in logs.items()}


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
    fit, told = predictions(build)
    print(f"\nFitted to the tame step's invented log alone:\n{fit.text(options.units)}")
    for comparison in told:
        notes = "".join(f"\n- {note}" for note in comparison.prediction.notes)
        print(f"\n{comparison.text(options.units)}{notes}")
    print(f"\n{airchain.fuel_demand(steps).verdict}")
    pulls = measured()
    tables = airchain.calibrate(fit, pulls)
    tables.write(options.output.parent / "calibration")
    print(f"{tables.verdict}\n{tables.agreement.verdict}")
    later = regear(fit, 1.245, calibration=tables)
    print(f"\n{later}")
    live = options.output.with_stem(f"{options.output.stem}_live")
    report = airchain.make_report(build, fit, told, pulls, live=live.name, system=options.units)
    sheet = day_sheet(fit, system=options.units)
    print("\nAn invented build, no measurement. Day sheet, report, live page and tables:")
    print(sheet.write(options.output.with_name("day_sheet.pdf")))
    book = options.output.with_stem(f"{options.output.stem}_workshop")
    for document, file in ((report.owner, options.output), (report.workshop, book)):
        for path in (file, file.with_suffix(".pdf")):
            print(document.write(path))
    print(report.write_live(live))
    print(report.tables.write(options.output.parent / "tables")[0].parent)
    return 0


if __name__ == "__main__":
    sys.exit(main())
