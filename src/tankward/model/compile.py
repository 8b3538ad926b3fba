"""How bodies are compiled, and where the result is kept: a folder named after everything it was made of.

numba looks only at the file of a kernel itself; a process that was edited would be served with old numbers.
So the folder's name is a digest of all sources of the model, of the chemistry it calls, and of the versions.
"""

from __future__ import annotations

import hashlib
import os
import shutil
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import Any

import numba
import numpy as np
import platformdirs
from numba.core import config as numba_config

HERE = Path(__file__).parent
SOURCES = (HERE, HERE.parent / "water")
PLAIN: dict[str, Any] = {
    "error_model": "numpy", "forceinline": True, "no_cpython_wrapper": True, "no_cfunc_wrapper": True,
}  # fmt: skip
CALLED = {**PLAIN, "forceinline": False}


def digest() -> str:
    """Of all that decides what the compiled form does."""
    found = hashlib.sha256(f"{numba.__version__} {np.__version__}".encode())
    for folder in SOURCES:
        for file in sorted(folder.rglob("*.py")):
            found.update(file.relative_to(folder).as_posix().encode() + b"\0" + file.read_bytes())
    return found.hexdigest()[:16]


def kernels_folder() -> Path:
    """Where compiled forms of all versions lie."""
    return Path(platformdirs.user_cache_dir("tankward", appauthor=False)) / "kernels"


def _whole(folder: Path | None = None) -> Path:
    """The mark that every kernel of this digest lies beside it."""
    return (folder or kernels_folder()) / digest() / "whole"


def kept_whole(folder: Path | None = None) -> bool:
    """Whether all kernels were compiled before on this machine: then they load in a moment."""
    return _whole(folder).exists()


def mark_whole(folder: Path | None = None) -> None:
    """All kernels of this digest are kept now; nothing is marked where nothing can be written."""
    with suppress(OSError):
        _whole(folder).touch()


@contextmanager
def cached_in(folder: Path | None = None) -> Iterator[bool]:
    """Kernels decorated inside are kept in the folder of this digest; False where nothing can be written."""
    own = (folder or kernels_folder()) / digest()
    try:
        own.mkdir(parents=True, exist_ok=True)
        writable = os.access(own, os.W_OK)
    except OSError:
        writable = False
    if not writable:
        yield False
        return
    for other in own.parent.iterdir():
        if other != own and other.is_dir():
            shutil.rmtree(other, ignore_errors=True)
    config: Any = numba_config
    before, config.CACHE_DIR = config.CACHE_DIR, str(own)
    try:
        yield True
    finally:
        config.CACHE_DIR = before
