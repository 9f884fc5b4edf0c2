//! Whether a command can be run now, and if not, why.

use crate::tui::session::Session;
use crate::tui::view::{Screen, View};

/// What a command needs before it can be run.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Need {
    /// The garden and its file may be changed here.
    Editable,
    /// There is a bed.
    Bed,
    /// A planting is selected.
    Planting,
    /// A planting is selected, or the bed looked at has one.
    Standing,
    /// The bed looked at has a finding; on the Findings screen, any bed.
    Finding,
    /// There is a finding in the garden.
    AnyFinding,
    /// There is an edit to take back.
    ToUndo,
    /// There is an edit to make again.
    ToRedo,
    /// The garden has a file.
    File,
    /// Another program has the garden open, or it is read-only for another reason.
    Holder,
}

impl Need {
    /// Why the need is not met; `None` if it is.
    pub fn unmet<'a>(self, session: &'a Session, view: &View) -> Option<&'a str> {
        let plan = session.plan();
        let has_planting = || view.planting.is_some_and(|id| plan.garden().planting(id).is_some());
        let bed = plan.beds().get(view.bed_idx);
        let has_any_finding = || plan.beds().iter().any(|bed| !bed.findings.is_empty());
        let (is_met, why) = match self {
            Self::Editable => return session.read_only_because(),
            Self::Bed => (!plan.garden().beds.is_empty(), "there is no bed yet; N lays out a new one"),
            Self::Planting => (has_planting(), "no planting is selected; Tab selects the bed's next one"),
            Self::Standing => (
                has_planting() || bed.is_some_and(|bed| !bed.standing.is_empty()),
                "nothing is planted in this bed; a places a crop",
            ),
            Self::Finding if view.screen == Screen::Findings => (has_any_finding(), "there is no finding here"),
            Self::Finding => (bed.is_some_and(|bed| !bed.findings.is_empty()), "there is no finding here"),
            Self::AnyFinding => (has_any_finding(), "there is no finding"),
            Self::ToUndo => (session.sitting.undo_title().is_some(), session.nothing_to_undo()),
            Self::ToRedo => (session.sitting.redo_title().is_some(), "nothing to redo"),
            Self::File => (session.path.is_some(), "this garden has no file yet; S gives it one"),
            Self::Holder => (
                session.keeping.held_by.is_some() || session.keeping.barred.is_some(),
                "no other program has this garden open",
            ),
        };
        (!is_met).then_some(why)
    }
}

/// Why the first need that is not met is not; `None` if all are met.
pub fn hindrance<'a>(needs: &[Need], session: &'a Session, view: &View) -> Option<&'a str> {
    needs.iter().find_map(|need| need.unmet(session, view))
}
