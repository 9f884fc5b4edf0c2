//! Small pure pieces: text cut to cells, top and bottom line, lists, fields of forms.

pub mod bars;
pub mod cover;
pub mod fields;
pub mod line;
pub mod paint;
pub mod sky;
pub mod text;
