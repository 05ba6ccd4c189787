//! Shapes shared by the benchmarks.
