# Two commands matter: `make demo` shows a rocket go from meshes to a verdict, `make test` checks everything.
# `make docs` builds the pages of docs/ as a site with search, in build/docs: open its index.html, no server is needed.
PYTHON ?= python3
VENV   := .venv
BIN    := $(VENV)/bin
DEMO   := examples/skerry-light/skerry-light.toml

.PHONY: demo test lint bench docs lock clean

demo: $(VENV)/.demo-ready
	@echo "== finial check $(DEMO)"
	@$(BIN)/finial check $(DEMO); verdict=$$?; \
	  $(BIN)/finial report $(DEMO) --output demo-output/skerry-light.pdf; written=$$?; \
	  if [ $$written -eq 1 ] || [ $$written -eq 2 ]; then exit $$written; fi; \
	  echo "== verdict exit code $$verdict (0 go, 3 no-go, 4 not known); report in demo-output/skerry-light.pdf"; \
	  exit $$verdict

test: $(VENV)/.test-ready
	@.ci/chromium
	$(BIN)/python -m pytest -n 2
	$(BIN)/python -m pytest -n 2 .ci/test_commands_on_pages.py
	$(BIN)/python .ci/try_wheel.py
	$(BIN)/python -m bench.run --small

lint: $(VENV)/.test-ready
	$(BIN)/ruff format --check .
	$(BIN)/ruff check .
	$(BIN)/lint-imports
	$(BIN)/python bench/rooms.py
	$(BIN)/pyright
	$(BIN)/python hatch_build.py check
	$(BIN)/python hatch_build.py test

# Every benchmark at full size, on a machine that does nothing else; ends non-zero when a goal is not met.
bench: $(VENV)/.test-ready
	$(BIN)/python -m bench.run

docs: $(VENV)/.test-ready
	$(BIN)/python -m sphinx -W --keep-going -q -b html -d build/docs-kept docs build/docs
	@echo "== the site is in build/docs; open build/docs/index.html"

lock:
	$(BIN)/uv pip compile --universal --python-version 3.11 --generate-hashes --no-emit-index-url --no-header --extra build --extra campaign pyproject.toml -o requirements.lock
	$(BIN)/uv pip compile --universal --python-version 3.11 --generate-hashes --no-emit-index-url --no-header --extra build --extra dev -c requirements.lock pyproject.toml -o requirements-dev.lock

# The build tools are in the lock too, so nothing is fetched that the hashes do not cover.
$(VENV)/.demo-ready: requirements.lock pyproject.toml
	@echo "== making $(VENV) and installing from requirements.lock (a few minutes the first time)"
	test -x $(BIN)/python || $(PYTHON) -m venv $(VENV)
	$(BIN)/python -m pip install --quiet --require-hashes -r requirements.lock
	$(BIN)/python -m pip install --quiet --no-deps --no-build-isolation --editable .
	@touch $@

$(VENV)/.test-ready: requirements-dev.lock pyproject.toml
	@echo "== making $(VENV) and installing from requirements-dev.lock (a few minutes the first time)"
	test -x $(BIN)/python || $(PYTHON) -m venv $(VENV)
	$(BIN)/python -m pip install --quiet --require-hashes -r requirements-dev.lock
	$(BIN)/python -m pip install --quiet --no-deps --no-build-isolation --editable .
	@touch $@

clean:
	rm -rf $(VENV) demo-output build dist frontend/node_modules src/finial/web/static
