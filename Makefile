# `make` says what there is. Each target brings what it needs; a second time it is quick.

SHELL := /bin/bash
PYTHON ?= python3
HOST ?= 127.0.0.1
PORT ?= 8000
DEMO ?= 1
# Of `make lock`: all, one by --upgrade-package NAME, or (empty) only what is new.
UPGRADE ?= --upgrade
# The same folder as settings.py takes: of the environment, of .env, or data/.
DATA_DIR ?= $(or $(shell sed -n 's/^DATA_DIR=//p' .env 2>/dev/null),data)

# One more than cores, since a test that starts a server or a browser waits now and then.
WORKERS ?= $(shell echo $$(( $$(nproc) + 1 )))

# What was compiled once is not compiled by each process that tests start.
unexport PYTHONDONTWRITEBYTECODE

BIN := .venv/bin
MANAGE := $(BIN)/python manage.py
PIP := $(BIN)/pip install --quiet --disable-pip-version-check --require-hashes
COMPILE := $(BIN)/uv pip compile --universal --generate-hashes --no-header --no-annotate --quiet
LOCK := $(COMPILE) pyproject.toml

# What WeasyPrint loads, the plain face that packets are set in, and what makes catalogues of words.
PRINT_PACKAGES := libpango-1.0-0 libpangoft2-1.0-0 libharfbuzz-subset0 fonts-liberation gettext
TEST_PACKAGES := chromium-headless-shell postgresql
# Asked for with the others, so that all that is missing is named at once.
VENV_PACKAGES = $(if $(wildcard $(BIN)/python),,$(shell $(PYTHON) -c 'import ensurepip, venv' \
	2>/dev/null || echo python3 python3-venv))

.PHONY: help install run test quick nightly deep fuzz postgresql container check audit lint system-checks words format lock packages free-port
.DEFAULT_GOAL := help

help: ## Say what there is to make
	@grep -E '^[a-z-]+:.*## ' $(MAKEFILE_LIST) | sed -E 's/^([a-z-]+):.*## /  make \1\t/' | expand -t 18

install: packages .venv/run.stamp .venv/machine.stamp .venv/words.stamp $(DATA_DIR)/secret_key staticfiles/stamp ## Bring what a server needs

run: export HTTPS := off
run: free-port install ## Run on this machine, with the demo (DEMO=0: empty; PORT=8000)
	@$(MANAGE) upgrade
ifeq ($(DEMO),0)
	@$(MANAGE) demo --warn
	@$(MANAGE) first_person --unless-any
else
	@$(MANAGE) demo --if-empty
	@echo "To start empty instead: stop, move the folder $(DATA_DIR) away, and make run DEMO=0"
endif
	@echo
	@echo "Open http://$(subst 127.0.0.1,localhost,$(subst 0.0.0.0,localhost,$(HOST))):$(PORT)/ in a browser. Ctrl-C stops; what you did is kept in $(DATA_DIR)/."
	@exec $(BIN)/gunicorn habitats.wsgi --bind $(HOST):$(PORT) --workers 2 --threads 4 --preload \
		--no-control-socket --log-level warning

test nightly deep: PRINT_PACKAGES += $(TEST_PACKAGES)
quick postgresql: PRINT_PACKAGES += postgresql

test: packages .venv/dev.stamp .venv/machine.stamp .venv/words.stamp ## Run the tests but the nightly ones (ARGS="tests/house -x")
	@.ci/packages $(TEST_PACKAGES)
	@$(BIN)/pytest -n $(WORKERS) $(ARGS)

quick: packages .venv/dev.stamp .venv/machine.stamp .venv/words.stamp ## Run the tests that need no browser
	@.ci/packages postgresql
	@$(BIN)/pytest -n 2 -m "not browser and not nightly" $(ARGS)

nightly: packages ## Run what takes long: deep searches, the fuzz, all on PostgreSQL, the container, the audit
	@.ci/night deep fuzz postgresql container audit

deep: packages .venv/dev.stamp .venv/reference.stamp .venv/bucket.stamp .venv/machine.stamp .venv/words.stamp ## Run all shares of what is spread, what is for the night, random examples further
	@.ci/packages $(TEST_PACKAGES)
	HYPOTHESIS_PROFILE=deep $(BIN)/pytest -n $(WORKERS) -m "nightly or spread or hypothesis or browser"

fuzz: packages .venv/dev.stamp .venv/machine.stamp .venv/words.stamp ## Ask every address of the demo what no page sends
	$(BIN)/python -m tests.benchmarks.fuzz --requests 10000

# All that is in them, not one day's share.
postgresql: FOLDERS = $(sort $(dir $(wildcard tests/*/test_*.py)))
postgresql: packages .venv/dev.stamp .venv/machine.stamp .venv/words.stamp ## Run all tests but the longest on PostgreSQL
	@.ci/packages postgresql
	$(BIN)/python -m tests.support.postgresql $(BIN)/pytest -n 2 -m "not browser and not nightly" $(FOLDERS)

container: .venv/dev.stamp ## Build and start as the Containerfile says: docker, podman, or root in a bare Debian
	@.ci/packages debootstrap
	$(BIN)/python -m tests.support.bare_root

check: lint system-checks ## Lint, format, types, imports, migrations

lint: packages .venv/dev.stamp
	$(BIN)/ruff check .
	$(BIN)/ruff format --check .
	$(BIN)/mypy
	$(BIN)/lint-imports

system-checks: packages .venv/dev.stamp .venv/machine.stamp .venv/words.stamp
	DEBUG=on $(MANAGE) makemigrations --check --dry-run
	DEBUG=on $(MANAGE) check --fail-level WARNING

audit: .audit/stamp ## Scan the code, and ask for known faults of what is installed (needs the network)
	.audit/bin/bandit --quiet --configfile pyproject.toml --recursive habitats builds
	$(PYTHON) -m tests.support.audit .audit/bin/pip-audit

words: .venv/run.stamp ## Collect new sentences for translators (LANGUAGE=de)
	$(MANAGE) makemessages --locale $(or $(LANGUAGE),de)
	$(MANAGE) makemessages --locale $(or $(LANGUAGE),de) --domain djangojs
	-$(MANAGE) untranslated

format: .venv/dev.stamp ## Put code into shape
	$(BIN)/ruff check --fix .
	$(BIN)/ruff format .

lock: .venv/dev.stamp ## Choose versions again within pyproject.toml (UPGRADE="--upgrade-package pillow": one)
	$(LOCK) $(UPGRADE) --output-file requirements.txt
	$(LOCK) $(UPGRADE) --group dev --constraint requirements.txt --output-file requirements-dev.txt
	$(COMPILE) $(UPGRADE) --group audit --output-file requirements-audit.txt
	$(COMPILE) $(UPGRADE) --group reference --constraint requirements-dev.txt --output-file requirements-reference.txt
	$(COMPILE) $(UPGRADE) --group bucket $(addprefix --no-emit-package ,asgiref django sqlparse) --output-file requirements-bucket.txt

packages:
	@.ci/packages $(VENV_PACKAGES) $(PRINT_PACKAGES)

free-port:
	@.ci/port $(HOST) $(PORT)

$(BIN)/python:
	@$(PYTHON) -c 'import ensurepip, venv' 2>/dev/null || .ci/packages python3 python3-venv
	@$(PYTHON) -c 'import sys; sys.exit(sys.version_info < (3, 11))' || \
		{ echo "Python 3.11 or later is needed. Name one: make PYTHON=python3.13 $(MAKECMDGOALS)"; exit 1; }
	@echo "Making a place for Python packages, .venv ..."
	@$(PYTHON) -m venv .venv

.venv/run.stamp: requirements.txt | $(BIN)/python
	@echo "Installing what the server needs, about a minute ..."
	@$(PIP) --requirement $< && touch $@

.venv/dev.stamp: requirements-dev.txt | $(BIN)/python
	@echo "Installing what the tests need, a minute or two ..."
	@$(PIP) --requirement $< && touch $@

.venv/reference.stamp: requirements-reference.txt | .venv/dev.stamp
	@echo "Installing another solver to compare with, a minute ..."
	@$(PIP) --requirement $< && touch $@

# Beside the rest, not among it: tests of photos in a bucket put it in front.
.venv/bucket.stamp: requirements-bucket.txt | .venv/dev.stamp
	@echo "Installing a server for photos in a bucket, a minute ..."
	@$(PIP) --no-deps --upgrade --target .venv/bucket --requirement $< && touch $@

.audit/stamp: requirements-audit.txt
	@$(PYTHON) -m venv .audit
	@.audit/bin/pip install --quiet --disable-pip-version-check --require-hashes --requirement $< && touch $@

# Searches run as machine code, made here once and whenever they change.
.venv/machine.stamp: requirements.txt $(wildcard builds/cutting/*.py) | .venv/run.stamp
	@echo "Making machine code for cutting plans, about a minute ..."
	@$(MANAGE) warm >/dev/null && touch $@

# The other languages' words, for the server, out of what translators write.
.venv/words.stamp: $(wildcard */locale/*/LC_MESSAGES/*.po) | .venv/run.stamp
	@echo "Making the words of other languages ..."
	@$(MANAGE) compilemessages --ignore .venv --verbosity 0 && touch $@

# Once a machine. Whoever reads it can forge log-ins, so nobody else may read it.
$(DATA_DIR)/secret_key: | $(BIN)/python
	@umask 077 && mkdir -p $(@D)
	@umask 077 && $(BIN)/python -c 'import secrets; print(secrets.token_urlsafe(50))' > $@

staticfiles/stamp: $(shell find static -type f) .venv/run.stamp | $(DATA_DIR)/secret_key
	@echo "Gathering styles, scripts and pictures ..."
	@$(MANAGE) collectstatic --noinput --clear --verbosity 0 && touch $@
