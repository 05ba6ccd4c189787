# make demo      builds, writes the demo site Quarry Bank, prints its answers and writes its papers
# make test      all tests
# make test-long the tests that take minutes: a thousand chains of lines
# make check     what CI runs beside them: format, lints, docs, tidy, licences
# make crosscheck  filling, flow directions and evapotranspiration against independent libraries (needs Python 3 and the network)
# make bench     benchmarks

CARGO ?= cargo
DEMO ?= quarry-bank

.PHONY: demo test test-long check crosscheck bench

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
	target/release/hillsip paper $(DEMO)

test:
	$(CARGO) test --workspace --quiet

test-long:
	$(CARGO) test --release -p water --test chain_long

check:
	$(CARGO) fmt --all --check
	$(CARGO) clippy --workspace --all-targets --quiet -- -D warnings
	RUSTDOCFLAGS="-D warnings" $(CARGO) doc --workspace --no-deps --quiet
	$(CARGO) run --quiet -p xtask -- tidy
	$(CARGO) run --quiet -p xtask -- licences

crosscheck:
	bash .ci/crosscheck.sh
	bash .ci/crosscheck-et.sh

bench:
	$(CARGO) bench -p hillsip-benches
