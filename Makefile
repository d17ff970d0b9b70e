# Two commands: `make open` to use Redolent, `make test` to check it.

PYTHON ?= python3
VENV := .venv
BIN := $(VENV)/bin
PIP := $(BIN)/python -m pip install --quiet --disable-pip-version-check --constraint constraints.txt

.PHONY: open test check install install-test chromium screens clean

open: install
	@$(BIN)/redolent open

test: install-test chromium check
	$(BIN)/python -m pytest
	REDOLENT_JOURNAL="$$(mktemp -d)/journal.db" $(BIN)/python -m pytest --nbval-lax --nbval-current-env notebooks
	$(BIN)/python -m pytest --nbval --nbval-current-env tests/notebooks

check: install-test
	$(BIN)/ruff check
	$(BIN)/ruff format --check
	$(BIN)/mypy
	$(BIN)/lint-imports --no-cache
	$(BIN)/redolent lexicon check

screens: install-test chromium
	$(BIN)/python docs/screens.py

install: $(VENV)/installed
install-test: $(VENV)/installed-test

$(VENV)/installed: pyproject.toml constraints.txt | $(BIN)/python
	$(PIP) --editable '.[pages]'
	@touch $@

$(VENV)/installed-test: pyproject.toml constraints.txt | $(BIN)/python
	$(PIP) --editable '.[test]'
	@touch $@ $(VENV)/installed

# Debian's bare python3 comes without the module that makes environments.
$(BIN)/python:
	@$(PYTHON) -c 'import sys; sys.exit(sys.version_info < (3, 11))' || { echo 'Redolent needs Python 3.11 or newer; name one with: make PYTHON=python3.12'; exit 1; }
	@$(PYTHON) -c 'import ensurepip, venv' 2>/dev/null || { $(PYTHON) -c 'import sys; print("Python cannot make an environment here; on Debian or Ubuntu run: sudo apt install python%d.%d-venv" % sys.version_info[:2])'; exit 1; }
	@$(PYTHON) -m venv $(VENV)

# Debian's own Chromium where there is apt, else the one that Playwright brings.
chromium: install-test
	@command -v chromium >/dev/null || { \
	  if command -v apt-get >/dev/null; then \
	    $$([ "$$(id -u)" = 0 ] || echo sudo) sh -c 'apt-get update -qq && DEBIAN_FRONTEND=noninteractive apt-get install -y -qq chromium >/dev/null'; \
	  else $(BIN)/python -m playwright install chromium; fi; }

clean:
	rm -rf $(VENV) build dist
