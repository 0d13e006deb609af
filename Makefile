# Each command does all its own set-up; `make help` lists them.
PYTHON ?= python3
VENV := .venv
BIN := $(VENV)/bin
READY := $(VENV)/.ready-$(shell cat requirements.lock pyproject.toml 2>/dev/null | cksum | cut -d' ' -f1)

.DEFAULT_GOAL := help
.PHONY: help demo test check bench bench-records lookup pictures lock clean

help: ## list the commands
	@grep -E '^[a-z-]+:.*##' $(MAKEFILE_LIST) | awk -F':.*## ' '{printf "  make %-13s %s\n", $$1, $$2}'

$(READY): requirements.lock pyproject.toml
	@.ci/set-up "$(PYTHON)" "$(VENV)"
	@touch $@

demo: $(READY) ## five invented cycles proved, and a hospital with a year behind it
	@$(BIN)/lungwort demo
	@echo 'Here the command is $(BIN)/lungwort; after ". $(BIN)/activate" this terminal knows it as lungwort.'

test: $(READY) ## all checks and tests, as CI runs them
	@$(MAKE) --no-print-directory check
	DJANGO_SETTINGS_MODULE=lungwort.web.settings $(BIN)/python -m pytest tests/web --cov --cov-report= --cov-fail-under=0 -n 2 -q
	$(BIN)/python -m pytest --doctest-modules --cov --cov-append --cov-report=term -n 2 --dist worksteal -q

check: $(READY) ## style, types, layers, generated pages
	$(BIN)/ruff check src tests benchmarks
	$(BIN)/ruff format --check src tests benchmarks
	$(BIN)/mypy
	$(BIN)/lint-imports
	$(BIN)/python -m lungwort.cli.lookup --check docs/lookup

bench: $(READY) ## ratios measured side by side
	$(BIN)/python benchmarks/prove.py
	$(BIN)/python benchmarks/vet.py

bench-records: $(READY) ## looking back and appending among 1e6 and 1e7 events (27 GB of disk, an hour)
	$(BIN)/python benchmarks/look_back.py

lookup: $(READY) ## write docs/lookup anew from the code
	$(BIN)/python -m lungwort.cli.lookup docs/lookup

pictures: $(READY) ## draw the pictures of README and docs anew
	$(BIN)/lungwort demo --years 0 --folder $(VENV)/pictures >/dev/null
	$(BIN)/lungwort prove $(VENV)/pictures/1-steam-134.csv --criterion steam-134C-3min --altitude 2300 \
		--sensor "Pt100 A" --pressure-error 1.5 --chart docs/pictures/proved_cycle.png >/dev/null

lock: ## pin every dependency with its hashes (needs the network)
	$(PYTHON) -m venv $(VENV)-lock && $(VENV)-lock/bin/pip install -q uv
	$(VENV)-lock/bin/uv pip compile pyproject.toml --extra check --universal --python-version 3.11 \
		--generate-hashes --no-header --no-annotate --no-emit-index-url -o requirements.lock
	rm -rf $(VENV)-lock

clean: ## remove what the commands made
	rm -rf $(VENV) .coverage .coverage.* .hypothesis .pytest_cache .mypy_cache .ruff_cache .import_linter_cache
