# Two commands do all the set-up: `make demo` and `make test`.
PYTHON ?= python3
PY := .venv/bin/python

.PHONY: demo test bench check clean

demo: .venv/.demo
	$(PY) -m plateside demo demo-out

test: .venv/.test
	$(PY) scripts/run_tests.py

bench: .venv/.test
	$(PY) -m bench

check: .venv/.test
	$(PY) scripts/run_tests.py --static

.venv/.demo: pyproject.toml constraints.txt
	$(PYTHON) scripts/make_venv.py demo,picture
	@touch $@

.venv/.test: pyproject.toml constraints.txt
	$(PYTHON) scripts/make_venv.py test
	@touch $@

clean:
	rm -rf .venv demo-out
