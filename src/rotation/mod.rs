//! What may follow what, and why not.
//!
//! The crops, families, hazards and follow rules of the book form a graph ([`CropGraph`]). Tables are read from it once, so that
//! a check is a matter of array look-ups; the path that joins two crops is sought only when a finding is put into words.
//!
//! Intervals are return intervals throughout: years from one crop of a family to the next, which is host-free years + 1. Sources
//! are extension services, growers' bodies and handbooks, named at each family, hazard and rule of the book. They disagree, so
//! the interval asked for is a setting ([`Policy`]).
//!
//! The model knows no soil acidity, no weather and no resistance of varieties. A hazard counts for the whole bed in which it was
//! seen; history counts only where the ground overlaps. Persistence and break figures lower a risk; they promise nothing.

mod build;
mod check;
mod graph;
mod path;
mod rules;
mod terms;
#[cfg(test)]
pub(crate) mod tests;
mod timeline;
mod types;
mod years;

pub use graph::{CropGraph, Edge, HostKind, Node, Path};
pub use rules::family::TWO_CROPS_SOURCE;
pub use rules::soil::RAW_MANURE_DAYS;
pub use timeline::Bounds;
pub use types::*;
pub use years::{AUTUMN_FROM, rotation_years};
