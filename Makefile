PYTHON ?= python3
VENV := .venv
BIN := $(VENV)/bin
STAMP := $(VENV)/.stamp

.DEFAULT_GOAL := help
.PHONY: help venv demo test long lint bench replay simulation guidance words contact \
	figures pages unverified clean

help: ## List these targets.
	@sed -n 's/^\([a-z]*\):.*## /\1\t/p' Makefile

venv: $(STAMP) ## Make .venv with everything pinned in requirements.txt.

# Byte-compiling is only a warm-up: an unreadable file is for lint and test to report.
$(STAMP): requirements.txt pyproject.toml
	$(PYTHON) -m venv $(VENV)
	$(BIN)/python -m pip install --disable-pip-version-check --quiet \
		--require-hashes --requirement requirements.txt
	$(BIN)/python -m pip install --disable-pip-version-check --quiet \
		--no-deps --no-build-isolation --editable .
	-$(BIN)/python -m compileall -q src
	@touch $(STAMP)

demo: venv ## Show a week in two invented kitchens.
	$(BIN)/python sample_inventory/demo.py

test: venv ## Run every test.
	$(BIN)/python -m pytest -q --numprocesses auto --dist worksteal

long: venv ## The same of what is otherwise tried in small: a queue of 10,000, the API.
	QUEUE=10000 SCHEMA_EXAMPLES=100 $(BIN)/python -m pytest -q \
		tests/web/test_long_queue.py tests/web/test_api_schema.py

lint: venv ## Check style, formatting and types.
	$(BIN)/ruff check .
	$(BIN)/ruff format --check .
	$(BIN)/mypy

bench: venv ## Measure the speeds the documents promise.
	$(BIN)/python tests/bench/run.py

# Written beside it first: work that stops half-way leaves the page as it was.
replay: venv ## Live a scripted month of temperatures, and two of other chance: half an hour.
	$(BIN)/python tests/replay/run.py > docs/temperature-replay.md.new
	mv docs/temperature-replay.md.new docs/temperature-replay.md

simulation: venv ## Live eight weeks of a simulated kitchen, 200 times: some minutes.
	$(BIN)/python tests/simulation/run.py

guidance: venv ## Write what is generated from the rule files and the commands.
	$(BIN)/python -m lidclock.guidance.compile
	$(BIN)/python -m lidclock.guidance.page > docs/guidance.md
	$(BIN)/python -m lidclock.cli.docs > docs/cli.md

words: venv ## Take new texts of the page into its catalogues, and tell what they lack.
	$(BIN)/python -m lidclock.web.words_found --write

contact: venv ## Draw every kind of label on every stock, to look at.
	$(BIN)/python -m lidclock.labels.contact docs/images

figures: venv ## Draw a week of an invented kitchen, to look at.
	$(BIN)/python -m lidclock.app.example_figures docs/images

pages: venv ## Take a picture of every page in Debian's Chromium, to look at.
	$(BIN)/python tests/pictures/run.py

unverified: venv ## List the figures that nobody checked, for a look before a release.
	$(BIN)/python -m lidclock.guidance.compile --unverified

clean: ## Remove everything that make, the tools and the tests left behind.
	rm -rf $(VENV) dist out .pytest_cache .mypy_cache .ruff_cache .hypothesis
	find . -name __pycache__ -type d -not -path "./.git/*" -prune -exec rm -rf {} +
