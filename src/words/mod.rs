//! Findings, reasons, limits and the values of a planting in words, for both faces.
//!
//! Everything here is told from fields: the engines find out, this room says it. What takes work to find out is asked of
//! [`crate::season`] first ([`Plan::explained`](crate::season::Plan::explained)) and handed in. No engine knows this room, and nobody
//! reads its sentences back: what depends on a finding depends on its fields.

mod crop_page;
mod findings;
mod left_out;
mod limits;
mod names;
mod place;
mod plantings;
mod reasons;
mod returns;
pub mod rotation;
#[cfg(test)]
mod tests;
pub mod text;

pub use crop_page::{CropPage, Fact, Section, Source, Value};
pub use findings::{Explanation, alike_words, explain, headline, headline_preview};
pub use limits::limit_words;
pub use names::{crop_name, crop_of, past_name};
pub use place::climate_words;
pub use plantings::*;
pub use reasons::reason_words;
pub use text::{counted, decimal, month_day};
