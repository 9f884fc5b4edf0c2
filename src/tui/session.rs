//! The garden being worked on: its plan, its file, today.

use std::path::PathBuf;

use chrono::NaiveDate;

use crate::garden::{Edit, EditError};
use crate::season::Plan;

/// The garden being worked on.
#[derive(Debug)]
pub struct Session {
    /// The plan with everything worked out of it.
    pub plan: Plan,
    /// Where it is kept; `None` while it has no file yet.
    pub path: Option<PathBuf>,
    /// Today, as the face that started us says.
    pub today: NaiveDate,
    /// Revision of the plan that the file holds.
    pub saved_revision: u64,
    /// Revision whose saving failed, so that it is not tried again at every pause.
    pub failed_revision: Option<u64>,
}

impl Session {
    /// A session on a plan just loaded.
    pub fn new(plan: Plan, path: Option<PathBuf>, today: NaiveDate) -> Self {
        let saved_revision = plan.revision();
        Self { plan, path, today, saved_revision, failed_revision: None }
    }

    /// Whether the file lacks something the plan has.
    pub fn is_unsaved(&self) -> bool {
        !self.plan.is_as_at(self.saved_revision)
    }

    /// Makes an edit; returns what was done, for the bottom line.
    ///
    /// # Errors
    /// The edit does not apply.
    pub fn apply(&mut self, edit: Edit) -> Result<String, EditError> {
        let title = edit.title(self.plan.garden());
        self.plan.apply(edit)?;
        Ok(title)
    }
}
