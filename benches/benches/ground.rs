//! Benchmarks of the grid kernels.

fn main() {
    divan::main();
}
