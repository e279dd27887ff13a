//! One test binary.
mod classification;
mod labels;
mod printed;
