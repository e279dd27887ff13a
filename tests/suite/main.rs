//! One test binary.
mod classification;
