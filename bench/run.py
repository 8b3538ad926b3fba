"""Times every `bench_*` function in bench/bench_*.py; `python bench/run.py WORD` only those named so.

A bench function sets up and returns what is to be timed (a function without arguments). The decorator
`within` says how long it may take; a slower one ends the run with exit code 1. The last column is the time
as a multiple of a fixed piece of arithmetic on this machine, to compare machines by.
"""

import importlib.util
import sys
import time
from collections.abc import Callable, Iterator
from pathlib import Path

import numpy as np

HERE = Path(__file__).parent
ENOUGH_S = 1.0
Timed = Callable[[], object]
Bench = Callable[[], Timed]


def within(seconds: float) -> Callable[[Bench], Bench]:
    """Say how long it may take."""

    def mark(bench: Bench) -> Bench:
        bench.limit_s = seconds  # type: ignore[attr-defined]
        return bench

    return mark


def faster(times: float, than: Bench) -> Callable[[Bench], Bench]:
    """Say how many times as fast as another it is at least: a ratio holds on any machine."""

    def mark(bench: Bench) -> Bench:
        bench.rival = times, than  # type: ignore[attr-defined]
        return bench

    return mark


def benches(word: str) -> Iterator[tuple[str, Bench]]:
    for path in sorted(HERE.glob("bench_*.py")):
        spec = importlib.util.spec_from_file_location(path.stem, path)
        module = importlib.util.module_from_spec(spec)
        spec.loader.exec_module(module)
        for name, found in vars(module).items():
            if name.startswith("bench_") and word in f"{path.stem} {name}":
                yield name.removeprefix("bench_").replace("_", " "), found


def best_of(timed: Timed) -> float:
    """Seconds of the quickest run; the first, which may compile or fill a cache, is not counted. A run that
    ends later than what is waited for says itself how long that took (`took_s`).
    """
    timed()
    times, began = [], time.perf_counter()
    while not times or time.perf_counter() - began < ENOUGH_S:
        start = time.perf_counter()
        took = getattr(timed(), "took_s", None)
        times.append(time.perf_counter() - start if took is None else took)
    return min(times)


def yardstick() -> float:
    numbers = np.random.default_rng(1).random(1_000_000)
    return best_of(lambda: np.sort(numbers).sum())


def main(word: str = "") -> int:
    unit_s = yardstick()
    print(f"yardstick: a million numbers sorted in {unit_s * 1e3:.1f} ms")
    slow = 0
    for name, bench in benches(word):
        seconds = best_of(bench())
        limit_s = getattr(bench, "limit_s", None)
        late = limit_s is not None and seconds > limit_s
        slow += late
        promise = f"  of {limit_s * 1e3:.0f} ms{'  TOO SLOW' if late else ''}" if limit_s else ""
        print(f"{name:<50} {seconds * 1e3:10.2f} ms {seconds / unit_s:8.2f}×{promise}")
        if rival := getattr(bench, "rival", None):
            times, ratio = rival[0], best_of(rival[1]()) / seconds
            slow += ratio < times
            lost = "  SPEED IS LOST" if ratio < times else ""
            print(f"{'':<50} {ratio:10.1f} times as fast as its rival, of {times:g}{lost}")
    return 1 if slow else 0


if __name__ == "__main__":
    raise SystemExit(main(*sys.argv[1:2]))
