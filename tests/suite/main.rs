//! One test binary.
