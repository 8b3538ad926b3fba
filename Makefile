PY ?= python3
V := .venv
BIN := $(V)/bin
PIP := $(BIN)/python -m pip -q --disable-pip-version-check
SOURCES := src tests bench scripts
TESTS ?= tests

unexport PYTHONDONTWRITEBYTECODE
unexport PYTHONPATH

.PHONY: help run test lint bench shots facts thin validate cases calibrate plans python
.DEFAULT_GOAL := help

help:  ## this list
	@sed -n 's/^\([a-z]*\):.*## \(.*\)/make \1|\2/p' Makefile | awk -F'|' '{ printf "%-12s %s\n", $$1, $$2 }'

run: $(V)/.run  ## set up and open the demo room
	@$(BIN)/tankward start --demo

test: $(V)/.test  ## set up and run the tests
	@$(BIN)/python -m pytest -n auto $(TESTS)

lint: $(V)/.test  ## style, types, imports point one way
	@$(BIN)/ruff check $(SOURCES)
	@$(BIN)/ruff format --check $(SOURCES)
	@$(BIN)/mypy
	@$(BIN)/lint-imports --no-cache

bench: $(V)/.test  ## docs/bench.md: timings, in ratios
	@$(BIN)/python bench/page.py
	@$(BIN)/python bench/run.py

shots: $(V)/.test  ## screenshots and printed sheets to look at
	@$(BIN)/python scripts/shots.py

facts: $(V)/.run  ## check every fact: source, unit, status
	@$(BIN)/tankward facts --check

thin: $(V)/.run  ## docs/thin.md: how far each judged number moves the forecast
	@$(BIN)/python scripts/thin.py

validate: $(V)/.test  ## docs/validation.md: the organism model against published experiments
	@$(BIN)/python scripts/validate.py

cases: $(V)/.test  ## docs/cases.md: published case reports against causes and options
	@$(BIN)/python scripts/report_cases.py

calibrate: $(V)/.test  ## docs/calibration*.md: whether readings, counts and verdicts on a course are as sure as they say
	@$(BIN)/python scripts/calibrate.py
	@$(BIN)/python scripts/calibration_counts.py
	@$(BIN)/python scripts/calibration_progress.py

plans: $(V)/.test  ## docs/plan.md: the planner against all courses, an optimiser, the packet
	@$(BIN)/python scripts/plans.py

python:
	@$(PY) -c 'import sys; sys.exit(sys.version_info < (3, 11))' 2>/dev/null || { \
	  echo "Tankward needs Python 3.11 or newer, and '$(PY)' is not: try again with, say, PY=python3.12 after the word make."; exit 1; }

$(V)/bin/python: | python
	@$(PY) -m venv $(V)

# Bytecode is written here and not by pip, and only for what a command may load: 34 MB less on the disk.
$(V)/.run: requirements/run.txt pyproject.toml | $(V)/bin/python
	@echo "Setting up in $(V) (under a minute)."
	@$(PIP) install --no-compile --require-hashes -r requirements/run.txt
	@$(PIP) install --no-deps --no-build-isolation -e .
	@$(PIP) uninstall -y setuptools 2>/dev/null
	@$(BIN)/python -m compileall -q -j 0 -x '[/\\](tests?|testing|lexers|f2py|distutils)[/\\]' $(V)/lib
	@$(BIN)/python -c 'from tankward.model.run import warm; warm(wait=True)'
	@touch $@

$(V)/.test: requirements/test.txt $(V)/.run
	@echo "Setting up what the tests need."
	@$(PIP) install --require-hashes -r requirements/test.txt
	@touch $@
