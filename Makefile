# What people run. Needs only make and Python 3.11 or later; everything else goes into .venv.

PYTHON ?= python3
VENV := .venv
BIN := $(VENV)/bin
RUN := $(VENV)/.run
DEV := $(VENV)/.dev
PIP := $(BIN)/python -m pip install --quiet --disable-pip-version-check --constraint constraints.txt

.DEFAULT_GOAL := help
.PHONY: help demo serve test test-postgres test-browser check lint types imports documents docs format warm fit trust bench clean

help: ## say what there is
	@awk -F ':.*## ' '/^[a-z-]+:.*## / {printf "  make %-13s %s\n", $$1, $$2}' Makefile

demo: $(RUN) ## plan the demonstration tank into out/demo
	$(BIN)/slackwater demo -o out/demo

serve: $(RUN) ## serve the pages on this machine and print their address
	$(BIN)/slackwater serve

test: $(DEV) ## run all tests, in random order, on all cores
	$(BIN)/python -m pytest --numprocesses auto

test-browser: $(DEV) ## run the tests that need Chromium; photographs go to out/look
	$(BIN)/python -m pytest -o addopts= --import-mode=importlib --strict-markers -ra -p no:randomly tests/browser

test-postgres: $(DEV) ## run the tests of what is kept on a PostgreSQL of their own as well
	scripts/with_postgres.sh $(BIN)/python -m pytest tests/store

check: lint types imports documents ## everything but the tests: format, style, types, layers, documents

lint: $(DEV)
	$(BIN)/ruff format --check .
	$(BIN)/ruff check .

types: $(DEV)
	$(BIN)/mypy

imports: $(DEV)
	$(BIN)/lint-imports

documents: $(DEV)
	$(BIN)/python -m pytest --quiet tests/docs

docs: $(DEV) ## write the manual of the commands anew
	$(BIN)/python scripts/make_cli_doc.py
	$(BIN)/python scripts/make_data_doc.py

format: $(DEV) ## format the code and mend what can be mended by itself
	$(BIN)/ruff format .
	$(BIN)/ruff check --fix .

warm: $(DEV) ## compile the kernels once, so that the next run starts at once
	$(BIN)/slackwater warm

fit: $(DEV) ## fit the coefficients to the judged cases; half an hour, never in CI
	$(BIN)/python -m scripts.fit_rules tests/cases/open.yaml --write

trust: $(DEV) ## write the page on what to trust, with its figures
	$(BIN)/python -m scripts.make_trust_facts
	$(BIN)/python -m scripts.make_trust

bench: $(DEV) ## print how long things take on this machine
	$(BIN)/python benchmarks/run.py

clean: ## remove what was made here
	rm -rf $(VENV) out dist build .coverage .hypothesis .mypy_cache .pytest_cache .ruff_cache .import_linter_cache
	find src tests benchmarks -name __pycache__ -type d -prune -exec rm -rf {} +

$(BIN)/python:
	$(PYTHON) -c 'import sys; sys.exit(sys.version_info < (3, 11) and "Python 3.11 or later is needed")'
	$(PYTHON) -m venv $(VENV)

$(RUN): $(BIN)/python pyproject.toml constraints.txt
	$(PIP) --editable .
	@touch $@

$(DEV): $(BIN)/python pyproject.toml constraints.txt
	$(PIP) --editable '.[dev]'
	@touch $@ $(RUN)
