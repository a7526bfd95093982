# Everything a person or a machine does with this checkout. `make help` lists it.

# Recipes stop at the first failure, in pipelines too.
SHELL := /usr/bin/env bash
.SHELLFLAGS := -euo pipefail -c
.DEFAULT_GOAL := help
.NOTPARALLEL:

PORT ?= 8080

# Builds for the web have their own folder, so that they and tests on the host
# neither wait for each other nor throw away each other's work.
WEB := RUST_BACKTRACE=0 CARGO_TARGET_DIR=$(CURDIR)/target/web
TARGET := wasm32-unknown-unknown
ENV := . target/env.sh;

# Only these run in a browser; every other test runs on the host.
WEB_TESTS := $(wildcard tests/web_*.rs)
WEB_TEST_FLAGS := $(if $(WEB_TESTS),--test 'web_*')

define heading
@printf '\n== %s\n' "$(1)"
endef

.PHONY: help
help: ## List what there is to make
	@sed -n 's/^\([a-z0-9-]*\):.*## /  make \1\t/p' $(MAKEFILE_LIST) | expand -t 18

.PHONY: run
run: page ## Build the app and serve it on this machine
	@$(ENV) exec node e2e/serve.mjs --port $(PORT)

.PHONY: test
test: check host-tests formats web-tests e2e engines ## Check and test everything
	$(call heading,All checks and tests passed)

.PHONY: bench
bench: setup-test page minimal-page react-packages ## Measure, into target/bench/results.json (BENCH_MINUTES=1: less than the 10 of a session)
	$(call heading,Bench)
	@rm -f target/bench/results.json
	@$(ENV) node e2e/bench/size.mjs
	@$(ENV) node e2e/bench/handover.mjs
	@$(ENV) node e2e/bench/review.mjs
	@$(ENV) node e2e/bench/start.mjs
	@e2e/bench/lighthouse/setup
	@$(ENV) node e2e/bench/lighthouse.mjs
	@$(ENV) node e2e/bench/cues.mjs

.PHONY: check
check: setup-test ## Formatting, lints and types, without running anything
	$(call heading,Formatting)
	@$(ENV) cargo fmt --check
	$(call heading,Lints for the host)
	@$(ENV) cargo clippy --locked --all-targets --quiet -- -D warnings
	$(call heading,Lints for the web)
	@$(ENV) $(WEB) cargo clippy --locked --target $(TARGET) --lib --bins $(WEB_TEST_FLAGS) --quiet -- -D warnings
	$(call heading,Types of the end-to-end tests)
	@$(ENV) tsc --project e2e

.PHONY: fmt
fmt: setup-test ## Format the Rust code
	@$(ENV) cargo fmt

.PHONY: host-tests
host-tests: setup-test ## Tests that need no browser
	$(call heading,Tests on the host)
	@$(ENV) cargo test --locked --quiet

.PHONY: formats
formats: setup-test ## The open formats, read by validators that are not ours
	$(call heading,Open formats)
	@e2e/formats/setup
	@$(ENV) node e2e/formats/check.mjs

.PHONY: web-tests
web-tests: setup-test ## tests/web_*.rs, in a headless browser
	$(call heading,Tests in the browser)
ifdef WEB_TESTS
	@$(ENV) $(WEB) cargo test --locked --target $(TARGET) $(WEB_TEST_FLAGS)
else
	@echo 'There are no tests/web_*.rs yet.'
endif

.PHONY: e2e
e2e: setup-test page ## Journeys through the built app, in a headless browser
	$(call heading,End-to-end tests)
	@$(ENV) cd e2e && playwright test $(ARGS)
ifndef ARGS
	$(call heading,A page that is hidden or put to sleep)
	@$(ENV) node e2e/lifecycle.mjs
	$(call heading,A browser that is killed)
	@$(ENV) node e2e/kill.mjs 20
endif

.PHONY: soak
soak: setup-test page ## What takes long: a browser killed at KILLS=200 random instants, into target/soak/results.json
	$(call heading,Kills)
	@rm -f target/soak/results.json
	@$(ENV) node e2e/kill.mjs $(or $(KILLS),200)

.PHONY: engines
engines: setup-test page ## The main job in Chromium, Firefox and WebKit, and sound in WebKit, which allows none before a tap
	$(call heading,Three engines)
	@e2e/engines/setup
	@$(ENV) node e2e/engines/job.mjs
	@$(ENV) node e2e/engines/webkit.mjs

FUZZ_RUNS ?= 2500000
FUZZ_FLAGS := -Cpasses=sancov-module $(addprefix -Cllvm-args=-sanitizer-coverage-,level=4 inline-8bit-counters pc-table trace-compares)

.PHONY: fuzz
fuzz: setup-test ## Hostile input made up by libFuzzer, FUZZ_RUNS texts for each of four borders
	$(call heading,Hostile input)
	@$(ENV) host=$$(rustc -vV | sed -n 's/^host: //p'); \
	cd tests/fuzz && RUSTFLAGS='$(FUZZ_FLAGS)' cargo build --locked --release --quiet --target $$host --target-dir ../../target/fuzz; \
	for border in file link frames copy; do \
	    mkdir -p ../../target/fuzz/corpus/$$border; echo "$$border:"; \
	    ../../target/fuzz/$$host/release/$$border -runs=$(FUZZ_RUNS) -timeout=1 -rss_limit_mb=256 -max_len=12000 \
	        -artifact_prefix=../../target/fuzz/$$border- -print_final_stats=1 -verbosity=0 \
	        ../../target/fuzz/corpus/$$border corpus/$$border; \
	done

.PHONY: page
page: setup-build ## Build the app into dist/
	$(call heading,The client's page)
	@$(ENV) cargo fetch --locked --target $(TARGET)
	@$(ENV) $(WEB) trunk --log warn build --release --locked
	$(call heading,The practitioner's page)
	@$(ENV) $(WEB) trunk --log warn build --release --locked --dist dist/practice --public-url /practice/ practice.html
	@node .ci/offline.mjs dist

.PHONY: minimal-page
minimal-page: setup-build
	$(call heading,The smallest page for comparison)
	@$(ENV) cd e2e/bench/minimal && cargo fetch --locked --target $(TARGET)
	@$(ENV) cd e2e/bench/minimal && $(WEB) trunk --log warn build --release --locked

.PHONY: react-packages
react-packages: setup-test
	@cd e2e/bench/react && { [ node_modules/.package-lock.json -nt package-lock.json ] \
	    || npm ci --ignore-scripts --no-audit --no-fund --silent; }

.PHONY: setup-build setup-test
setup-build:
	@.ci/setup build
setup-test:
	@.ci/setup test
