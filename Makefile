# Every target makes its own environment in .venv from constraints.txt, once.
# Another Python: make test PYTHON=python3.12

PYTHON ?= python3
BIN := .venv/bin
READY := .venv/.ready
AXE_VERSION := 4.14.1
AXE := .doublure/npm/node_modules/axe-core/axe.min.js
ARGS ?=
PRESS_ARGS ?=

# The theme's notice on the end of its life has nothing to say to whoever runs these.
export NO_MKDOCS_2_WARNING := 1

.PHONY: help site serve test check golden timings axe clean

help:
	@echo 'make site     build the demo into site/'
	@echo 'make serve    show the demo while you write, at http://127.0.0.1:8000/'
	@echo 'make test     run every test (ARGS="-k store" for some)'
	@echo 'make check    lint, types, layers'
	@echo 'make golden   write tests/golden anew; review the difference'
	@echo 'make timings  speed and memory, as ratios to plain MkDocs and plain pikepdf'
	@echo 'make clean    remove what was built; not .venv'

site: $(READY)
	$(BIN)/doublure build

serve: $(READY)
	$(BIN)/doublure serve

test: $(READY) axe
	$(BIN)/python -m pytest -rs $(ARGS)

check: $(READY)
	$(BIN)/ruff check generator tests
	$(BIN)/mypy
	$(BIN)/python -m pytest tests/test_architecture.py

golden: $(READY)
	DOUBLURE_WRITE_GOLDEN=1 $(BIN)/python -m pytest -m golden $(ARGS)

timings: $(READY)
	$(BIN)/python tests/timings/run.py $(ARGS)
	$(BIN)/python tests/timings/press.py $(PRESS_ARGS)

# Accessibility tests need axe-core, which only npm has. Without npm they skip and say so.
axe:
	@if [ -f $(AXE) ]; then :; \
	elif ! command -v npm >/dev/null 2>&1; then \
	  echo 'npm is not there: the accessibility tests will skip' >&2; \
	else \
	  npm install --prefix .doublure/npm --no-save --ignore-scripts --no-audit --no-fund --loglevel=error \
	    --fetch-retries=1 axe-core@$(AXE_VERSION) >/dev/null \
	  || echo 'axe-core could not be fetched: the accessibility tests will skip' >&2; \
	fi

$(READY): constraints.txt pyproject.toml
	@command -v $(PYTHON) >/dev/null 2>&1 || { \
	  echo 'There is no $(PYTHON) here. Install Python 3.11 or newer, or name one: make PYTHON=...' >&2; exit 1; }
	@$(PYTHON) -c 'import sys; sys.exit(sys.version_info < (3, 11))' || { \
	  echo 'Python 3.11 or newer is needed; $(PYTHON) is older. Name a newer one: make PYTHON=...' >&2; exit 1; }
	@$(PYTHON) -c 'import venv, ensurepip' 2>/dev/null || { \
	  echo 'This Python cannot make environments: install the package python3-venv' >&2; exit 1; }
	@$(PYTHON) -m venv .venv || { \
	  echo 'The environment could not be made. Remove .venv, and install the package python3-venv' >&2; exit 1; }
	@# One name for older pips, one for newer ones: what builds the package is pinned as well.
	PIP_CONSTRAINT=constraints.txt PIP_BUILD_CONSTRAINT=constraints.txt \
	  $(BIN)/python -m pip install --quiet --disable-pip-version-check -e '.[dev]'
	@touch $@

clean:
	rm -rf site site.new-* site.old-* print build dist .pytest_cache .mypy_cache .ruff_cache .hypothesis
