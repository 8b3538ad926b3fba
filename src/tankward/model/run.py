"""Which form runs: the compiled one once it is ready in this process, until then the oracle.

Both give the same numbers (tests/model/test_kernels.py). A command takes the compiled form where it was
compiled before; a program that stays open compiles it beside its first answers.
"""

from __future__ import annotations

import importlib
import importlib.util
import logging
import threading
from collections.abc import Callable, Sequence
from typing import Any

from .memo import Memo
from .oracle import Run, Trace, trace
from .record import FIELDS

Tracer = Callable[..., Trace]
CHARTED = (*FIELDS.values(), "alkalinity_mg", "co2_mg", "first_guild_mg_h")  # what a record is made of
_ready: list[Tracer] = []
_rows: list[Any] = []
_back: list[Any] = []
_ends: list[Any] = []
_bands: list[Any] = []
_begun = threading.Lock()


def traced(
    run: Run, fields: Sequence[str] = CHARTED, *, threads: int | None = None, kept: Memo | None = None
) -> Trace:
    """Run the table from beginning to end.

    `fields`: of the state, which to keep; none: all of them. `threads`: over how many to spread the draws.
    `kept`: what is known of this tank from runs before.
    """
    if not (_ready and run.body.state):
        return trace(run)
    return _ready[0](run, fields, threads=threads, kept=kept)


def copied(run: Run, fields: Sequence[str], kept: Memo) -> Any:
    """A run as the kernel leaves it (`compiled.copied_compiled`), or None where none is ready."""
    if not (_ready and run.body.state):
        return None
    compiled: Any = importlib.import_module(".compiled", __package__)
    return compiled.copied_compiled(run, fields, kept)


def warm(*, wait: bool = False) -> None:
    """Load or compile the kernels, beside whatever else goes on.

    Where numba is missing (it has no wheel for some machines), the oracle goes on serving.
    """
    if not _begun.acquire(blocking=False):
        return
    thread = threading.Thread(target=_load, name="kernels", daemon=True)
    thread.start()
    if wait:
        thread.join()


def warm_if_kept() -> None:
    """Load the kernels where they were compiled before on this machine: nobody waits for a compiler."""
    if compiler_there() and _compile().kept_whole():
        warm(wait=True)


def _load() -> None:
    try:
        compiled: Any = importlib.import_module(".compiled", __package__)
        compiled.compile_now()
        ends: Any = importlib.import_module(".kernels_ends", __package__)
        ends.compile_now()
        _ends.append(ends)
        _ready.append(compiled.trace_compiled)
        bands: Any = importlib.import_module(".kernels_bands", __package__)
        bands.compile_now()
        _bands.append(bands)
        rows: Any = importlib.import_module(".kernels_rows", __package__)
        rows.compile_now()
        _rows.append(rows)
        back: Any = importlib.import_module(".kernels_back", __package__)
        back.compile_now()
        _back.append(back)
        _compile().mark_whole()
    except ImportError:
        return
    except Exception:  # a machine on which it can't be compiled: no reason to answer nothing
        logging.getLogger(__name__).warning("the kernels could not be compiled", exc_info=True)


def _compile() -> Any:
    return importlib.import_module(".compile", __package__)


def compiled_rows() -> Any:
    """The module `kernels_rows` once it is ready, else None."""
    return _rows[0] if _rows else None


def compiled_back() -> Any:
    """The module `kernels_back` once it is ready, else None."""
    return _back[0] if _back else None


def compiled_ends() -> Any:
    """The module `kernels_ends` once it is ready, else None."""
    return _ends[0] if _ends else None


def compiled_bands() -> Any:
    """The module `kernels_bands` once it is ready, else None."""
    return _bands[0] if _bands else None


def compiler_there() -> bool:
    """Whether there is anything to compile with: numba has no build for some machines."""
    return importlib.util.find_spec("numba") is not None


def compiled_runs() -> bool:
    """Whether the compiled form is ready in this process."""
    return bool(_ready)
