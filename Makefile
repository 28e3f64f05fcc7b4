# What one does with Tarnlight. `make` alone lists it.

SHELL := bash
.SHELLFLAGS := -euo pipefail -c
.DEFAULT_GOAL := help
# Every step that compiles wants the same folder and all the cores.
.NOTPARALLEL:
.PHONY: help serve build test fuzz bench bench-begun bench-native bench-wasm bench-page bench-table bench-keep pictures lint test-desktop test-wasm test-browser test-engines tools test-tools seal clean built

PORT ?= 8080
# Seconds of search for each target of `make fuzz`, and the targets.
FUZZ_SECONDS ?= 300
FUZZ_TARGETS ?= links files places tables tiles photos frames messages

# Said outright, so that the programs built here are found again whatever cargo's settings are.
export CARGO_TARGET_DIR := $(abspath $(or $(CARGO_TARGET_DIR),target))
# The page's own compiler is the only thing that may see these.
unexport RUSTFLAGS CARGO_BUILD_TARGET NO_COLOR

CARGO ?= cargo
WASM := wasm32-unknown-unknown
# Only builds for the browser use the compiler found by .tools/provision; all else is the host's.
for_wasm = tools=$$(.tools/provision path); PATH="$$tools:$$PATH"
# Where cargo keeps sources on this machine, and where it has them from, is nobody's business; the page is
# smaller without, and the same wherever it is built. They are there when this is asked: `seal` needs some.
remap = $$(printf -- '--remap-path-prefix=%s= ' $${CARGO_HOME:-$$HOME/.cargo}/registry/src/*/)
# Names of this form have a function's types in them: by these the build tool cuts the program in two.
names = -Csymbol-mangling-version=v0
trunk = $(for_wasm) RUSTFLAGS="$(remap) $(names)" TRUNK_SKIP_VERSION_CHECK=true TARNLIGHT_SEAL=$(CARGO_TARGET_DIR)/debug/seal trunk

help: ## list what can be made
	@sed -nE 's/^([a-z-]+):.*## (.*)/make \1\t\2/p' Makefile | expand -t 22

serve: tools seal ## build the page and serve it on http://127.0.0.1:8080 (PORT=... for another)
	@$(trunk) serve --release --port $(PORT)

build: tools seal ## build the page into dist, ready for any static server and any folder
	@$(trunk) build --release

test: test-tools lint test-desktop test-wasm build test-browser test-engines ## everything that must hold
	@echo "all tests passed"

# Flags that record which parts of the program an input reaches; all of them are of the stable compiler.
coverage = -Cpasses=sancov-module -Ccodegen-units=1 $(addprefix -Cllvm-args=-sanitizer-coverage-, \
	level=4 inline-8bit-counters pc-table trace-compares)
host = $$(rustc -vV | sed -n 's/^host: //p')

fuzz: ## search for harmful input by coverage (FUZZ_SECONDS=... for each target, FUZZ_TARGETS="links tiles")
	RUSTFLAGS="$(coverage)" $(CARGO) build --locked --release --target $(host) --manifest-path tests/fuzz/guided/Cargo.toml
	@for target in $(FUZZ_TARGETS); do \
		corpus=$(CARGO_TARGET_DIR)/fuzz/$$target; kept=tests/fuzz/regressions/$$target; \
		mkdir -p $$corpus $$kept; echo "== $$target"; \
		FUZZ_TARGET=$$target FUZZ_CORPUS=$$corpus $(CARGO_TARGET_DIR)/$(host)/release/guided \
			-max_total_time=$(FUZZ_SECONDS) -timeout=30 -rss_limit_mb=1024 -artifact_prefix=$$kept/ \
			-print_final_stats=1 -verbosity=0 $$corpus $$kept; \
	done

lint: ## formatting, clippy and documentation, warnings counted as errors
	$(CARGO) fmt --all --check
	$(CARGO) fmt --check --manifest-path tests/fuzz/guided/Cargo.toml
	$(CARGO) clippy --locked --workspace --all-targets --all-features -- -D warnings
	RUSTDOCFLAGS="-D warnings" $(CARGO) doc --locked --workspace --no-deps

test-desktop: ## unit, integration and documentation tests, without a browser
	$(CARGO) test --locked --workspace

test-wasm: test-tools ## tests of the compiled WebAssembly in headless Chromium
	@$(for_wasm) CHROMEDRIVER="$$(command -v chromedriver)" \
		cargo test --locked --target $(WASM) --test wasm

test-browser: built test-tools ## end to end: the page in dist, in headless Chromium (after make build)
	TARNLIGHT_AXE="$$(.tools/provision axe)" $(CARGO) test --locked --features browser --test browser -- --test-threads=2

test-engines: built test-tools ## the page in dist in Firefox and in WebKitGTK (after make build)
	@tools=$$(.tools/provision path); PATH="$$PATH:$$tools" \
		$(CARGO) test --locked --features browser --test engines -- --test-threads=2

# What was timed last, as it was printed and written.
timings = $(CARGO_TARGET_DIR)/timings
table = $(CARGO) run --quiet --locked --package seal --bin timings --

bench: built bench-begun bench-native bench-wasm bench-page bench-table ## time it on the desktop, in Chromium and slowed down, against the last release

# what is timed, and on what, is noted before: the figures may be kept after another commit
bench-begun:
	@rm -rf $(timings) && mkdir -p $(timings)
	@$(table) --begin $(timings)/origin.json

bench-native:
	@mkdir -p $(timings)
	$(CARGO) bench --locked --bench '*' | tee $(timings)/native.txt

bench-wasm: test-tools
	@mkdir -p $(timings)
	@$(for_wasm) CHROMEDRIVER="$$(command -v chromedriver)" \
		cargo test --locked --release --target $(WASM) --test wasm -- --nocapture a_year_of_events \
		| tee $(timings)/wasm.txt

bench-page: built test-tools
	@mkdir -p $(timings)
	@rm -f $(timings)/page.txt
	TARNLIGHT_TIMINGS=$(timings)/page.txt $(CARGO) test --locked --features browser --test browser -- \
		--test-threads=1 --show-output --ignored --skip contact_sheets

bench-table: ## the table of the last make bench once more
	@$(table) tests/benches/baseline.json $(timings)/*.txt

bench-keep: ## keep the figures of the last make bench as those of a release
	@$(table) --keep $(timings)/origin.json tests/benches/baseline.json $(timings)/*.txt

pictures: built test-tools ## every screen and sheet, as contact sheets in target/pictures
	$(CARGO) test --locked --features browser --test browser -- --test-threads=1 --ignored contact_sheets
	@echo "target/pictures/index.html"

clean: ## remove what was built; the tools' cache stays
	$(CARGO) clean
	rm -rf dist

# What drives the page does not build it, so that any build can be driven.
built:
	@test -f dist/sw.js || { echo "there is no built page in dist: run make build first" >&2; exit 1; }

tools:
	@.tools/provision build

test-tools:
	@.tools/provision test

seal:
	@$(CARGO) build --locked --package seal --bin seal
