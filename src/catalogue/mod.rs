//! What is known of chemicals, statements and rules: `hazards/`, overlaid by the workspace.

mod data_files;

pub use data_files::{DataError, DataFiles};
