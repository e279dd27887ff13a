pub mod document;
pub mod render;
