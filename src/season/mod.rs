//! When ground frees up, what could follow, every finding of a plan.

mod plan;
mod types;

pub use plan::Plan;
pub use types::*;
