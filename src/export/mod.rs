//! The planting list: what to sow, plant and clear, week by week, to be pinned up in the shed; and the plantings as a table.
//!
//! [`PlantingList`] gathers it from a plan, [`planting_list`] writes it as 80-column text, and the
//! command line gives the same as JSON. Everything in it is worked out in the rooms below; here it is
//! only put into order and words.

mod list;
mod page;
mod table;
mod write;

use chrono::NaiveDate;

pub use list::*;
pub use page::{Column, Page, to_ascii};
pub use table::{Days, PLANTING_COLUMNS, PlantingRow, further_rows, planting_rows, planting_table, text_cell};
pub use write::write_list;

use crate::season::Plan;

/// Cells in a line of the planting list.
pub const LIST_WIDTH: usize = 80;

/// What the planting list is to hold.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct ListOptions {
    /// First day; `None` is the day the first planting begins.
    pub from: Option<NaiveDate>,
    /// Last day; `None` is the day the last planting is cleared.
    pub to: Option<NaiveDate>,
    /// Only this bed.
    pub bed: Option<String>,
    /// Only ASCII signs.
    pub is_ascii: bool,
}

/// The planting list as 80-column text.
pub fn planting_list(plan: &Plan, options: &ListOptions) -> String {
    write_list(&PlantingList::of_plan(plan, options), options.is_ascii)
}
