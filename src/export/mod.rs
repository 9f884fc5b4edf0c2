//! The planting list.

use chrono::NaiveDate;

use crate::season::Plan;

/// What the planting list is to hold.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct ListOptions {
    /// First day.
    pub from: Option<NaiveDate>,
    /// Last day.
    pub to: Option<NaiveDate>,
    /// Only this bed.
    pub bed: Option<String>,
    /// Only ASCII signs.
    pub is_ascii: bool,
}

/// The planting list as 80-column text.
pub fn planting_list(plan: &Plan, options: &ListOptions) -> String {
    let _ = (plan, options);
    unimplemented!()
}
