"""Answers that a page does not wait for: begun once, handed out when they are there."""

from __future__ import annotations

import threading
from collections import OrderedDict
from collections.abc import Callable, Hashable
from concurrent.futures import Future, ThreadPoolExecutor
from typing import Generic, TypeVar

import msgspec

Answered = TypeVar("Answered")
KEPT = 32  # answers remembered; the oldest goes first


class Ready(msgspec.Struct, Generic[Answered], frozen=True, kw_only=True):
    """An answer, or that it is still being worked out, or why there is none."""

    answer: Answered | None = None
    pending: bool = False
    fault: str = ""


class Background(Generic[Answered]):
    """One worker; each question is worked out once."""

    def __init__(self, name: str) -> None:
        self._lock = threading.Lock()
        self._asked: OrderedDict[Hashable, Future[Answered]] = OrderedDict()
        self._pool = ThreadPoolExecutor(max_workers=1, thread_name_prefix=name)

    def of(self, question: Hashable, work: Callable[[], Answered]) -> Ready[Answered]:
        """The answer to a question; `work` is called at most once for it."""
        with self._lock:
            future = self._asked.get(question)
            if future is None:
                future = self._asked[question] = self._pool.submit(work)
                while len(self._asked) > KEPT:
                    self._asked.popitem(last=False)[1].cancel()
        if not future.done():
            return Ready(pending=True)
        fault = future.exception()
        return Ready(fault=str(fault)) if fault is not None else Ready(answer=future.result())

    def close(self) -> None:
        """Nothing more is begun; what is being worked out is let go."""
        self._pool.shutdown(wait=False, cancel_futures=True)
