//! TODO header.
