# Everything a person or a machine does with this checkout. `make help` lists it.

# Recipes stop at the first failure, in pipelines too.
SHELL := /usr/bin/env bash
.SHELLFLAGS := -euo pipefail -c
.DEFAULT_GOAL := help
.NOTPARALLEL:

PORT ?= 8080
# The folder that the app has at its host.
BASE ?= /

# What random cases are made from: the same in every run, so that no run fails by chance.
SEED ?= 3

# Builds for the web have their own folder, so that they and tests on the host
# neither wait for each other nor throw away each other's work. What they ship
# does not say where on this machine it was built.
TARGET := wasm32-unknown-unknown
HERE := --remap-path-prefix=$(or $(CARGO_HOME),$(HOME)/.cargo)=/cargo --remap-path-prefix=$(CURDIR)=/carryover
WEB := RUST_BACKTRACE=0 CARGO_TARGET_DIR=$(CURDIR)/target/web CARGO_TARGET_WASM32_UNKNOWN_UNKNOWN_RUSTFLAGS='$(HERE)'
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
	@$(ENV) cd e2e && playwright test words boxes
	@$(ENV) node e2e/bench/size.mjs
	@$(ENV) node e2e/bench/handover.mjs
	@$(ENV) node e2e/bench/review.mjs
	@$(ENV) node e2e/bench/tried.mjs
	@$(ENV) node e2e/bench/start.mjs
	@e2e/bench/lighthouse/setup
	@$(ENV) node e2e/bench/lighthouse.mjs
	@$(ENV) node e2e/bench/figure.mjs
	@$(ENV) node e2e/bench/cues.mjs

.PHONY: check
check: setup-test ## Formatting, lints and types, without running anything
	$(call heading,Formatting)
	@$(ENV) cargo fmt --check
	$(call heading,Lints for the host)
	@$(ENV) cargo clippy --locked --all-targets --quiet -- -D warnings
	$(call heading,Lints for the web)
	@$(ENV) $(WEB) cargo clippy --locked --target $(TARGET) --lib --bins $(WEB_TEST_FLAGS) --quiet -- -D warnings
	$(call heading,The versions that the fuzzer is built from)
	@$(ENV) cargo metadata --locked --quiet --format-version 1 --manifest-path tests/fuzz/Cargo.toml > /dev/null
	$(call heading,Licences and sources of the dependencies)
	@$(ENV) node .ci/notices.mjs
	$(call heading,Types of the end-to-end tests)
	@$(ENV) tsc --project e2e

.PHONY: fmt
fmt: setup-test ## Format the Rust code
	@$(ENV) cargo fmt

.PHONY: host-tests
host-tests: setup-test ## Tests that need no browser (SEED=7: other random cases than those of every run)
	$(call heading,Tests on the host)
	@$(ENV) PROPTEST_RNG_SEED=$(SEED) cargo test --locked --quiet --no-fail-fast

.PHONY: figures
figures: setup-test ## Every figure as pictures to look at, into target/figures/ (PNG too where rsvg-convert is there)
	$(call heading,Figures)
	@$(ENV) cargo run --locked --quiet --example figures
	@if command -v rsvg-convert > /dev/null; then for sheet in target/figures/*.svg; do rsvg-convert -o "$${sheet%.svg}.png" "$$sheet"; done; fi

.PHONY: evidence
evidence: setup-test ## What the rule does, into docs/what-the-rule-does.md, and the exact shares of one day into target/evidence/one_day.json
	@$(ENV) cargo run --locked --quiet --example evidence

.PHONY: words
words: setup-test ## Every sentence and label that a person can read or hear, with the files that use it
	@$(ENV) cargo run --locked --quiet --example words

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
	@$(ENV) node e2e/kill.mjs 40
	$(call heading,A new build in the middle of visits)
	@$(ENV) node e2e/hosts/deploys.mjs some
endif

.PHONY: pictures
pictures: setup-test page ## Walk the whole job, and put three of its pictures into docs/pictures/
	$(call heading,Pictures)
	@rm -rf target/walk
	@$(ENV) node e2e/walk.mjs 360 740 light
	@cp target/walk/client-*-today-after.png docs/pictures/today.png
	@cp target/walk/client-*-exercise-3.png docs/pictures/set.png
	@cp target/walk/client-*-lights.png docs/pictures/light.png

.PHONY: soak
soak: setup-test page ## What takes long: a full disk (as root), a browser killed at KILLS=300 random instants, into target/soak/results.json
	$(call heading,Kills)
	@rm -f target/soak/results.json
	@$(ENV) node e2e/kill.mjs $(or $(KILLS),300)
	$(call heading,A full disk)
	@$(ENV) node e2e/full-disk.mjs

.PHONY: hosts
hosts: setup-test page ## A new build before every request in turn (EVERY=10: every tenth), on five kinds of host and on nginx, Apache and Caddy
	@e2e/hosts/setup
	$(call heading,Web servers)
	@$(ENV) node e2e/hosts/answers.mjs
	@$(ENV) node e2e/hosts/deploys.mjs real
	$(call heading,Kinds of host)
	@$(ENV) node e2e/hosts/deploys.mjs

.PHONY: engines
engines: setup-test page ## The main job in Chromium, Firefox and WebKit, and sound in WebKit, which allows none before a tap
	$(call heading,Three engines)
	@e2e/engines/setup
	@$(ENV) node e2e/engines/job.mjs
	@$(ENV) node e2e/engines/webkit.mjs

FUZZ_RUNS ?= 2500000
FUZZ_FLAGS := -Cpasses=sancov-module $(addprefix -Cllvm-args=-sanitizer-coverage-,level=4 inline-8bit-counters pc-table trace-compares)

.PHONY: fuzz
fuzz: setup-test ## Hostile input made up by libFuzzer, FUZZ_RUNS texts for each of seven borders
	$(call heading,Hostile input)
	@$(ENV) host=$$(rustc -vV | sed -n 's/^host: //p'); \
	cd tests/fuzz && RUSTFLAGS='$(FUZZ_FLAGS)' cargo build --locked --release --quiet --target $$host --target-dir ../../target/fuzz; \
	for border in file link entry frames copy day picture; do \
	    mkdir -p ../../target/fuzz/corpus/$$border; echo "$$border:"; \
	    ../../target/fuzz/$$host/release/$$border -runs=$(FUZZ_RUNS) -timeout=5 -rss_limit_mb=256 -max_len=12000 \
	        -artifact_prefix=../../target/fuzz/$$border- -print_final_stats=1 -verbosity=0 \
	        ../../target/fuzz/corpus/$$border corpus/$$border; \
	done

.PHONY: page
page: setup-build ## Build the app into dist/ (BASE=/some/path/: for a folder below a site's root)
	$(call heading,The client's page)
	@$(ENV) cargo fetch --locked --target $(TARGET)
	@$(ENV) $(WEB) trunk --log warn build --release --locked
	$(call heading,The practitioner's page)
	@$(ENV) $(WEB) trunk --log warn build --release --locked --dist dist/practice --public-url /practice/ practice.html
	@$(ENV) node .ci/notices.mjs dist/notices.txt
	@node .ci/offline.mjs dist $(BASE)
	@node .ci/nowhere.mjs dist

.PHONY: minimal-page
minimal-page: setup-build
	$(call heading,The smallest page for comparison)
	@$(ENV) cd e2e/bench/minimal && cargo fetch --locked --target $(TARGET)
	@$(ENV) cd e2e/bench/minimal && $(WEB) trunk --log warn build --release --locked

.PHONY: react-packages
react-packages: setup-test
	@cd e2e/bench/react && { [ node_modules/.package-lock.json -nt package-lock.json ] \
	    || npm ci --ignore-scripts --no-audit --no-fund --silent; }

.PHONY: audit
audit: setup-audit ## Licences, sources and doubles among the dependencies, and known advisories
	$(call heading,Dependencies)
	@$(ENV) .ci/audit

.PHONY: setup-build setup-test setup-audit
setup-audit:
	@.ci/setup audit
setup-build:
	@.ci/setup build
setup-test:
	@.ci/setup test
