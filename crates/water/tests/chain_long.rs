//! A thousand chains, storms and bad beds: humps, dips, reversed falls, steep chutes, dry and drenched. Run by
//! `make test-long`.

#[path = "../src/chain/tests/random.rs"]
mod random;

#[test]
fn no_water_is_lost_in_a_thousand_chains() {
    for seed in 1000..2000 {
        random::check_random_chain(seed);
    }
}
