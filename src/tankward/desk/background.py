"""Answers that a page does not wait for: begun once, handed out when they are there."""

from __future__ import annotations

import threading
from collections import OrderedDict
from collections.abc import Callable, Hashable
from concurrent.futures import Future
from queue import SimpleQueue
from typing import Generic, TypeVar

import msgspec

Answered = TypeVar("Answered")
KEPT = 32  # answers remembered; the oldest goes first


class Ready(msgspec.Struct, Generic[Answered], frozen=True, kw_only=True):
    """An answer, or that it is still being worked out, or why there is none."""

    answer: Answered | None = None
    pending: bool = False
    fault: str = ""


def answered(future: Future[Answered]) -> Ready[Answered]:
    """What is known of it now."""
    if not future.done():
        return Ready(pending=True)
    fault = future.exception()
    return Ready(fault=str(fault)) if fault is not None else Ready(answer=future.result())


class Worker(Generic[Answered]):
    """One thread that works things out, one after another.

    A daemon and no pool of executors: a pool is waited for when the program ends, and ctrl-C would take as
    long as what is being worked out.
    """

    def __init__(self, name: str) -> None:
        self._todo: SimpleQueue[tuple[Future[Answered], Callable[[], Answered]] | None] = SimpleQueue()
        threading.Thread(target=self._run, name=name, daemon=True).start()

    def submit(self, work: Callable[[], Answered]) -> Future[Answered]:
        """What it will have answered."""
        future: Future[Answered] = Future()
        self._todo.put((future, work))
        return future

    def close(self) -> None:
        """Nothing is begun after what waits now."""
        self._todo.put(None)

    def _run(self) -> None:
        while (task := self._todo.get()) is not None:
            future, work = task
            if not future.set_running_or_notify_cancel():
                continue
            try:
                future.set_result(work())
            except Exception as fault:
                future.set_exception(fault)


class Background(Generic[Answered]):
    """Each question is worked out once."""

    def __init__(self, name: str) -> None:
        self._lock = threading.Lock()
        self._asked: OrderedDict[Hashable, Future[Answered]] = OrderedDict()
        self._worker: Worker[Answered] = Worker(name)

    def of(self, question: Hashable, work: Callable[[], Answered]) -> Ready[Answered]:
        """The answer to a question; `work` is called at most once for it."""
        with self._lock:
            future = self._asked.get(question)
            if future is None:
                future = self._asked[question] = self._worker.submit(work)
                while len(self._asked) > KEPT:
                    self._asked.popitem(last=False)[1].cancel()
        return answered(future)

    def close(self) -> None:
        """Nothing more is begun; what is being worked out is let go."""
        with self._lock:
            for future in self._asked.values():
                future.cancel()
        self._worker.close()
