"""Time reading logs of 200,000 rows of 12 columns, clean and messy; one core: taskset -c 0.

The messy one has decimal commas, page headings every 5,000 rows, remarks between rows and dashes
where nothing was read. Memory is the most that Python held, over the file's size.
"""

import tempfile
import time
import tracemalloc
from pathlib import Path

import numpy as np

import airchain

ROWS = 200_000
HEADS = ("Time (s)", "Engine speed (rpm)", "Torque observed (lb ft)", "MAP (kPa abs)",
         "Charge temp (degC)", "Compressor outlet pressure (kPa abs)",
         "Compressor outlet temp (degC)", "Air flow (g/s)", "Fuel flow (g/s)", "Lambda",
         "Impeller speed (rpm)", "Coolant temp (degC)")  # fmt: skip


def columns() -> np.ndarray:
    """A pull of many rows, as smooth as a dyno's, with noise."""
    rng, rise = np.random.default_rng(1), np.linspace(0.0, 1.0, ROWS)
    ends = [(0, 2000), (3000, 7500), (450, 620), (120, 210), (25, 45), (125, 220), (60, 150),
            (210, 900), (16, 70), (0.86, 0.86), (16000, 42000), (75, 85)]  # fmt: skip
    smooth = np.stack([low + (high - low) * rise for low, high in ends], axis=1)
    noise = 1.0 + 0.003 * rng.standard_normal(smooth.shape)
    # Time has none; speeds are counted from teeth, and all but exact.
    noise[:, [0, 1, 10]] = 1.0
    return smooth * noise


def texts() -> dict[str, str]:
    """Both logs, as a dyno writes them."""
    rows = [[f"{value:.2f}" for value in row] for row in columns()]
    weather = ["Barometer;28.82 inHg", "Ambient temp;72.9 F", "Humidity;50 %"]
    clean = [*(line.replace(";", ",") for line in weather), ",".join(HEADS)]
    clean += [",".join(row) for row in rows]
    messy = [line.replace(".", ",") for line in weather]
    for i, row in enumerate(rows):
        if i % 5000 == 0:
            messy += ["", f"page {i // 5000 + 1}", ";".join(HEADS)]
        if i % 1733 == 7:
            messy.append("remark: the fan was looked at")
        cells = [cell.replace(".", ",") for cell in row]
        cells[3 + i % 9] = "-" if i % 97 == 0 else cells[3 + i % 9]
        messy.append(";".join(cells))
    return {"clean": "\n".join(clean) + "\n", "messy": "\n".join(messy) + "\n"}


with tempfile.TemporaryDirectory() as folder:
    for name, text in texts().items():
        path = Path(folder) / f"{name}.csv"
        path.write_text(text)
        times = []
        for _ in range(3):
            start = time.perf_counter()
            log = airchain.read_pulls(path)
            times.append(time.perf_counter() - start)
        tracemalloc.start()
        airchain.read_pulls(path)
        most = tracemalloc.get_traced_memory()[1] / path.stat().st_size
        tracemalloc.stop()
        rows = sum(pull.rpm.size for pull in log.pulls)
        print(f"{name}: {min(times):.2f} s for {rows:,} rows, memory {most:.2f} times the file")
