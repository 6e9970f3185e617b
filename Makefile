# `make` lists what there is. Everything lives in .venv and build; the system is left alone.
# A stamp in .venv/.made says that a step is done, so a second run is instant.

PYTHON ?= python3
VENV := .venv
BIN := $(VENV)/bin
MADE := $(VENV)/.made
PIP := $(BIN)/python -m pip --disable-pip-version-check -qq
NATIVE := CMakeLists.txt pyproject.toml $(shell find native -name '*.cpp' -o -name '*.h' -o -name '*.hpp')
SOURCES := $(shell find src -name '*.py')
WORKERS ?= 2
BROWSER := $(if $(TESTS),$(if $(findstring desk,$(TESTS)),$(MADE)/browser),$(MADE)/browser)

.DEFAULT_GOAL := help
.PHONY: help setup setup-test demo test check docs bench sanitize lock clean

help: ## List the targets
	@sed -n 's/^\([a-z-]*\):.*## \(.*\)/  make \1	\2/p' $(MAKEFILE_LIST) | expand -t 20

setup: $(MADE)/package $(MADE)/compiled ## Build Saywhy into .venv

setup-test: setup $(MADE)/test $(BROWSER) ## The same, with what the tests need

demo: setup ## Check a puzzle, then print its talk track, and draw its board
	@$(BIN)/saywhy demo --reveal

test: setup-test ## Run all tests
	@$(BIN)/python -m pytest -n $(WORKERS) $(TESTS)

check: setup $(MADE)/test ## Lint, types, and generated files up to date
	$(BIN)/ruff check .
	$(BIN)/ruff format --check .
	$(BIN)/mypy
	$(BIN)/python scripts/docs.py --check

docs: setup $(MADE)/test ## Write the generated files anew: schema, pages
	$(BIN)/python scripts/docs.py

bench: setup $(MADE)/test ## Measure the engine beside general solvers
	$(BIN)/python -m benchmarks

sanitize: ## Run the native tests under sanitizers
	native/sanitize.sh

lock: ## Resolve the lock files anew from pyproject.toml
	$(PYTHON) -m venv build/lock
	build/lock/bin/python -m pip --disable-pip-version-check --quiet install uv
	scripts/lock build/lock/bin/uv

clean: ## Remove what was built
	rm -rf $(VENV) build demo-output

$(MADE)/base: requirements.lock scripts/preflight
	@scripts/preflight $(PYTHON)
	@echo "Setting up .venv: a minute or two the first time."
	@test -x $(BIN)/python || $(PYTHON) -m venv $(VENV)
	@$(PIP) install --require-hashes -r requirements.lock
	@mkdir -p $(MADE) && touch $@

$(MADE)/package: $(MADE)/base $(NATIVE) scripts/headers
	@headers=$$(scripts/headers $(BIN)/python $(CURDIR)/build/headers) && \
	  if [ -n "$$headers" ]; then export SKBUILD_CMAKE_DEFINE="Python_INCLUDE_DIR=$$headers" CPATH="$(CURDIR)/build/headers/usr/include"; fi && \
	  PATH="$(CURDIR)/$(BIN):$$PATH" $(PIP) install --no-deps --no-build-isolation -e .
	@touch $@

# Sources that are imported from where they lie are compiled here: start-up is half of a short command.
$(MADE)/compiled: $(MADE)/package $(SOURCES)
	@$(BIN)/python -m compileall -qq src || true
	@touch $@

$(MADE)/test: $(MADE)/base requirements-test.lock
	@$(PIP) install --require-hashes -r requirements-test.lock
	@touch $@

$(MADE)/browser: $(MADE)/base scripts/browser tests/desk/package-lock.json
	@scripts/browser
	@touch $@
