//! The parts of a rule file, one reader a part.

mod exposure;
mod pages;
mod waste;
mod work;

pub(super) use exposure::limits;
pub(super) use pages::{emergency, labels, text};
pub(super) use waste::{days, drain, retention};
pub(super) use work::{ages, forbid, require};
