"""A real browser and a JupyterLab of its own, for tests of the live view."""

import json
import os
import shutil
import socket
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest

#: Turns a slider again and again; milliseconds from each turn until what it made was painted.
_TURN = """async ([words, from, to, count, dragged]) => {
  const knob = [...document.querySelectorAll(".knob")]
    .find((one) => one.querySelector("label").textContent === words);
  const slider = knob.querySelector("input[type=range]");
  const root = slider.closest(".airchain-live");
  const painted = () => new Promise((done) => requestAnimationFrame(() => {
    const channel = new MessageChannel();
    channel.port1.onmessage = () => done();
    channel.port2.postMessage(0);
  }));
  const times = [];
  for (let i = 0; i < count; ++i) {
    const before = root.dataset.drawn;
    const began = performance.now();
    slider.value = from + (to - from) * ((i * 37) % count) / count;
    slider.dispatchEvent(new Event("input", { bubbles: true }));
    if (!dragged) slider.dispatchEvent(new Event("change", { bubbles: true }));
    while (root.dataset.drawn === before && performance.now() < began + 5000) await painted();
    times.push(performance.now() - began);
    await new Promise((done) => setTimeout(done, 10));
  }
  return times;
}"""
SOLVES = "document.querySelector('.airchain-live')?.dataset.solves"


@contextmanager
def page() -> Iterator[Any]:
    """A page of Debian's chromium; what it complains of makes the test fail."""
    api = pytest.importorskip("playwright.sync_api")
    chromium = shutil.which("chromium")
    if chromium is None:
        pytest.skip("chromium is not installed; apt-get install chromium brings it")
    errors: list[str] = []
    with api.sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=chromium, args=["--no-sandbox"])
        one = browser.new_page(viewport={"width": 1400, "height": 1000})
        one.on("pageerror", lambda error: errors.append(str(error)))
        yield one
        browser.close()
    assert errors == []


def turned(one: Any, words: str, ends: tuple[float, float], count: int, dragged: bool) -> float:
    """Turn a slider; the time that 95 % of the turns stay below [ms]."""
    times = sorted(one.evaluate(_TURN, [words, *ends, count, dragged]))
    figures = {share: round(times[int(share / 100 * (count - 1))]) for share in (50, 95, 99)}
    how = "dragged" if dragged else "released"
    print(f"{words}, {how}: {figures} ms, load {os.getloadavg()[0]:.1f}", file=sys.__stdout__)
    return float(times[int(0.95 * (count - 1))])


@contextmanager
def notebook(folder: Path, source: str) -> Iterator[str]:
    """A JupyterLab with a notebook of one cell; its address."""
    pytest.importorskip("jupyterlab")
    pytest.importorskip("anywidget")
    cell = {"cell_type": "code", "id": "a", "metadata": {}, "source": source, "outputs": []}
    kernel = {"name": "python3", "display_name": "Python 3", "language": "python"}
    told = {
        "cells": [cell | {"execution_count": None}],
        "metadata": {"kernelspec": kernel},
        "nbformat": 4,
        "nbformat_minor": 5,
    }
    (folder / "live.ipynb").write_text(json.dumps(told))
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    command = [sys.executable, "-m", "jupyterlab", "--no-browser", "--allow-root"]
    command += [f"--port={port}", f"--notebook-dir={folder}", "--IdentityProvider.token="]
    with (folder / "log").open("w") as log:
        lab = subprocess.Popen(command, stdout=log, stderr=subprocess.STDOUT, cwd=folder)
    try:
        _wait_for(port, lab)
        yield f"http://127.0.0.1:{port}/lab/tree/live.ipynb"
    finally:
        lab.terminate()
        lab.wait(30)


def _wait_for(port: int, lab: subprocess.Popen[bytes]) -> None:
    for _ in range(120):
        assert lab.poll() is None
        try:
            with socket.create_connection(("127.0.0.1", port), timeout=1):
                return
        except OSError:
            time.sleep(0.5)
    raise TimeoutError
