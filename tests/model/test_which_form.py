"""Which form runs: nobody waits for a compiler, and where there is none the answers still come."""

import importlib.util
import threading

import pytest

from tankward.desk.data import Health
from tankward.model import compile as kernels
from tankward.model import run
from tankward.show.words.data import SLOW, check_cautions
from tankward.store.check import Checked


@pytest.fixture
def fresh(monkeypatch):
    """A process in which nothing was loaded yet."""
    for name in ("_ready", "_rows"):
        monkeypatch.setattr(run, name, [])
    monkeypatch.setattr(run, "_begun", threading.Lock())


def test_the_mark_stands_in_the_folder_of_this_digest(tmp_path):
    assert not kernels.kept_whole(tmp_path)
    kernels.mark_whole(tmp_path)  # where nothing can be written, nothing happens
    assert not kernels.kept_whole(tmp_path)
    (tmp_path / kernels.digest()).mkdir()
    kernels.mark_whole(tmp_path)
    assert kernels.kept_whole(tmp_path)


@pytest.mark.parametrize("kept", [True, False])
def test_a_command_loads_what_is_kept_and_compiles_nothing(fresh, monkeypatch, kept):
    asked = []
    monkeypatch.setattr(run, "warm", lambda **how: asked.append(how))
    monkeypatch.setattr(kernels, "kept_whole", lambda: kept)
    run.warm_if_kept()
    assert asked == ([{"wait": True}] if kept else [])


def test_without_a_compiler_the_oracle_serves_and_check_says_it_is_slower(fresh, monkeypatch):
    monkeypatch.setattr(importlib.util, "find_spec", lambda name: None)
    assert not run.compiler_there()
    run.warm_if_kept()
    assert not run.compiled_runs()
    assert check_cautions(Health(logbook=Checked(), copies=(), ahead=0, slow=True)) == [SLOW]
    assert check_cautions(Health(logbook=Checked(), copies=(), ahead=0)) == []


@pytest.mark.parametrize("fault", [ImportError("no numba"), RuntimeError("no such processor")])
def test_what_cannot_be_compiled_frightens_nobody(fresh, monkeypatch, capfd, caplog, fault):
    def refuse(*_):
        raise fault

    monkeypatch.setattr(run.importlib, "import_module", refuse)
    run.warm(wait=True)
    assert not run.compiled_runs()
    assert capfd.readouterr() == ("", "")
    assert ("could not be compiled" in caplog.text) is isinstance(fault, RuntimeError)
