# make demo   builds the demo handbook        make test    runs all tests
# make checks prints the outside checks       make lint    types and style
# make coverage which lines of the program no test runs
# make fuzz   random damage, some 15 minutes   make mutants wrong versions of the program, an hour
PYTHON ?= python3
VENV := .venv
BIN := $(VENV)/bin
WORKERS ?= 2

.PHONY: demo test coverage checks lint lint-scripts serve bench fuzz mutants clean

demo: $(VENV)/.demo-ready
	$(BIN)/python -m generator build site_demo
	rm -rf site_demo/register
	$(BIN)/python -m generator.records.demo_class site_demo
	$(BIN)/python -m generator tally site_demo --as-of 2026-05-01
	@echo ""
	@echo "handbook: site_demo/out/web/index.html"

$(VENV)/bin/python:
	$(PYTHON) -c "import sys; sys.exit(0 if sys.version_info >= (3, 11) else 'Seatwork needs Python 3.11 or newer; this is ' + sys.version.split()[0])"
	$(PYTHON) -m venv $(VENV)

$(VENV)/.demo-ready: requirements.txt pyproject.toml | $(VENV)/bin/python
	$(BIN)/python -m pip install --quiet --disable-pip-version-check -r requirements.txt
	$(BIN)/python -m pip install --quiet --disable-pip-version-check --no-deps -e .
	touch $@

$(VENV)/.test-ready: requirements-test.txt $(VENV)/.demo-ready
	$(BIN)/python -m pip install --quiet --disable-pip-version-check -r requirements-test.txt
	touch $@

# worksteal: each worker keeps to a run of neighbouring tests, so that what a module shares is made once,
# and takes from the other when it is through
test: $(VENV)/.test-ready
	sh tests/need_browser.sh
	sh tests/need_npm.sh
	$(BIN)/python -m pytest -n $(WORKERS) --dist worksteal

# which lines and branches of generator/ no test runs; some twice as long as the tests
coverage: $(VENV)/.test-ready
	$(BIN)/python -m coverage erase
	$(BIN)/python -m pytest -n $(WORKERS) --dist worksteal --cov --cov-report=term-missing:skip-covered --timeout=960 \
	  -W "ignore::coverage.exceptions.CoverageWarning"

checks: $(VENV)/.test-ready
	$(BIN)/python -m tests.outside.report

lint: $(VENV)/.test-ready
	$(BIN)/ruff check .
	$(BIN)/ruff format --check .
	$(BIN)/mypy
	$(BIN)/lint-imports
	$(MAKE) lint-scripts

# the scripts' own checks need Node.js and npm; without them they are left out, and said so
lint-scripts:
	@if command -v npm > /dev/null; then \
	  cd tests/scripts && npm ci --no-audit --no-fund --silent && npm run --silent lint && npm run --silent types; \
	else echo "npm is not on this machine: the scripts were not checked"; fi

fuzz: $(VENV)/.test-ready
	$(BIN)/python -m tests.fuzz --workers $(WORKERS)

mutants: $(VENV)/.test-ready
	sh tests/need_browser.sh
	sh tests/need_npm.sh
	$(BIN)/python -m tests.mutants

serve: $(VENV)/.demo-ready
	$(BIN)/python -m generator serve site_demo

clean:
	rm -rf $(VENV) site_demo/out site_demo/.seatwork-kept site_demo/editions site_demo/results site_demo/register build dist

bench: $(VENV)/.demo-ready
	$(BIN)/python -m benchmarks.calculations
	$(BIN)/python -m benchmarks.whole_build
	$(BIN)/python -m benchmarks.large_site
	$(BIN)/python -m benchmarks.serve_rebuild
	$(BIN)/python -m benchmarks.page_weights site_demo
	$(BIN)/python -m generator build site_demo --quiet
	$(BIN)/python -m benchmarks.requests site_demo
	$(BIN)/python benchmarks/tally_5000.py site_demo
	$(BIN)/python benchmarks/record_ten_years.py site_demo
