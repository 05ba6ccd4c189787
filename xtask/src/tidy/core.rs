//! The core does no I/O, reads no clock and no chance, prints nothing and orders its results.

use super::tree::Tree;

const FORBIDDEN: [(&str, &str); 12] = [
    ("std::fs", "no files in the core"),
    ("std::env", "no environment in the core"),
    ("std::net", "no network in the core"),
    ("std::process", "no processes in the core"),
    ("SystemTime", "no clock in the core"),
    ("Instant::now", "no clock in the core"),
    ("println!", "the core prints nothing"),
    ("eprintln!", "the core prints nothing"),
    ("thread_rng", "no unseeded chance in the core"),
    ("HashMap", "results must not depend on the order of a hash: use BTreeMap or Vec"),
    ("HashSet", "results must not depend on the order of a hash: use BTreeSet or Vec"),
    (".mul_add(", "a fused product rounds differently on other machines"),
];

/// Complains of every forbidden word outside tests.
pub fn check(tree: &Tree) -> Vec<String> {
    let mut complaints = Vec::new();
    for name in super::CORE {
        for file in tree.sources(name) {
            for (number, line) in file.without_tests().lines().enumerate() {
                let code = line.split("//").next().unwrap_or_default();
                for (word, reason) in FORBIDDEN.iter().filter(|(word, _)| code.contains(word)) {
                    complaints.push(format!("{}:{}: {word}: {reason}", file.path, number + 1));
                }
            }
        }
    }
    complaints
}
