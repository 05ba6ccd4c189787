# make demo      builds, writes the demo site Quarry Bank, prints its answers and writes its papers
# make test      all tests
# make web       builds the front end into web/dist, which the program embeds (needs Node 20)
# make dev       the program on the demo site, and the front end rebuilt as it is edited
# make test-long the tests that take minutes: a thousand chains of lines
# make check     what CI runs beside them: format, lints, docs, tidy, licences
# make crosscheck  filling, flow directions, evapotranspiration and files handed on against independent libraries (needs Python 3 and the network)
# make docs      the documents as web pages in target/docs, their links checked
# make bench     benchmarks

CARGO ?= cargo
DEMO ?= quarry-bank

.PHONY: demo test test-web web dev test-long check crosscheck docs bench

demo:
	$(CARGO) build --release --bin hillsip
	rm -rf $(DEMO)
	target/release/hillsip demo $(DEMO)
	target/release/hillsip check $(DEMO)
	target/release/hillsip pegs $(DEMO)
	target/release/hillsip sizes $(DEMO)
	target/release/hillsip digging $(DEMO) --people 2
	-target/release/hillsip rain $(DEMO)
	-target/release/hillsip rain $(DEMO) --steps
	target/release/hillsip season $(DEMO)
	target/release/hillsip paper $(DEMO)

test:
	$(CARGO) test --workspace --quiet
	bash .ci/web.sh

test-web:
	bash .ci/web.sh

web:
	cd web && npm ci --no-fund --no-audit && npm run build

dev:
	$(CARGO) build --bin hillsip
	test -d $(DEMO) || target/debug/hillsip demo $(DEMO)
	cd web && npm ci --no-fund --no-audit
	trap 'kill 0' EXIT; target/debug/hillsip open $(DEMO) --no-browser & cd web && npm run dev

test-long:
	$(CARGO) test --release -p water --test chain_long
	HILLSIP_KILLS=1000 $(CARGO) test -p hillsip --test it killed_at_any_moment

check:
	$(CARGO) fmt --all --check
	$(CARGO) clippy --workspace --all-targets --quiet -- -D warnings
	RUSTDOCFLAGS="-D warnings" $(CARGO) doc --workspace --no-deps --quiet
	$(CARGO) run --quiet -p xtask -- tidy
	$(CARGO) run --quiet -p xtask -- licences

crosscheck:
	bash .ci/crosscheck.sh
	bash .ci/crosscheck-et.sh
	bash .ci/crosscheck-exchange.sh

docs:
	$(CARGO) run --quiet -p xtask -- docs

bench:
	$(CARGO) bench -p hillsip-benches
