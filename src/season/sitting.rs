//! A garden worked on: the plan it has come to, edit by edit, and the way back.

mod replay;

pub use replay::Replayed;

use std::sync::Arc;

use chrono::NaiveDate;

use super::plan::{Plan, Reach};
use crate::climate::Weather;
use crate::crops::in_text;
use crate::garden::{Edit, EditError, How, Record, Undo};

/// A plan that is edited, with what undo and redo would do.
#[derive(Debug)]
pub struct Sitting {
    plan: Plan,
    course: Course,
}

/// The edits made and taken back so far.
#[derive(Debug)]
struct Course {
    undo: Undo,
    revision: u64,
    /// State of the garden at each revision, see [`Undo::state`].
    states: Vec<u64>,
}

impl Default for Course {
    fn default() -> Self {
        Self::going_on_with(Undo::default())
    }
}

impl Course {
    fn going_on_with(undo: Undo) -> Self {
        Self { revision: 0, states: vec![undo.state()], undo }
    }

    /// Notes that the garden or what follows from it is another now.
    fn count(&mut self) {
        self.revision += 1;
        self.states.push(self.undo.state());
    }
}

impl From<Plan> for Sitting {
    fn from(plan: Plan) -> Self {
        Self::new(plan)
    }
}

impl Sitting {
    /// Begins with a plan.
    pub fn new(plan: Plan) -> Self {
        Self { plan, course: Course::default() }
    }

    /// The same sitting, with its plan seen on a day.
    #[must_use]
    pub fn seen_on(mut self, today: NaiveDate) -> Self {
        self.plan = self.plan.seen_on(today);
        self
    }

    /// Lists what is past or kept quiet too, or not.
    pub fn show_all(&mut self, shows_all: bool) {
        self.plan.show_all(shows_all);
    }

    /// The plan as it is now.
    pub fn plan(&self) -> &Plan {
        &self.plan
    }

    /// Counts up with every change.
    pub fn revision(&self) -> u64 {
        self.course.revision
    }

    /// Whether the garden is as it was at a revision: nothing was edited since, or all of it was taken back.
    pub fn is_as_at(&self, revision: u64) -> bool {
        let was = usize::try_from(revision).ok().and_then(|revision| self.course.states.get(revision));
        was == Some(&self.course.undo.state())
    }

    /// Makes an edit and works out again what it reaches; returns the step, for the journal.
    ///
    /// # Errors
    /// The edit does not apply; nothing is changed then.
    pub fn apply(&mut self, edit: Edit) -> Result<Record, EditError> {
        let book = self.plan.book();
        let name_of = |id: &str| book.crop(id).map(|crop| in_text(&crop.name).into_owned());
        let title = edit.title_naming(self.plan.garden(), &name_of);
        self.apply_called(title, edit)
    }

    fn apply_called(&mut self, title: String, edit: Edit) -> Result<Record, EditError> {
        let inverse = self.plan.change(edit.clone())?;
        self.course.undo.done(title.clone(), inverse);
        self.course.count();
        Ok(Record { how: How::Made, title, edit })
    }

    /// Takes the last edit back; returns the step, with the title of what was taken back.
    pub fn undo(&mut self) -> Option<Record> {
        self.step(How::TakenBack)
    }

    /// Makes the last undone edit again; returns the step.
    pub fn redo(&mut self) -> Option<Record> {
        self.step(How::MadeAgain)
    }

    fn step(&mut self, how: How) -> Option<Record> {
        let (plan, undo) = (&mut self.plan, &mut self.course.undo);
        let reach = Reach::before(undo.next(how)?, plan.garden());
        let n_beds_before = plan.garden().beds.len();
        let record = match how {
            How::MadeAgain => undo.redo(plan.garden_mut()),
            _ => undo.undo(plan.garden_mut()),
        }?;
        let reach = reach.and_after(&record.edit, plan.garden(), n_beds_before);
        plan.work_out_reached(&reach);
        self.course.count();
        Some(record)
    }

    /// Takes in what earlier sittings did, before anything is edited.
    pub fn go_on_with(&mut self, undo: Undo) {
        self.course = Course::going_on_with(undo);
    }

    /// What undo and redo would do.
    pub fn course(&self) -> &Undo {
        &self.course.undo
    }

    /// What undo would take back.
    pub fn undo_title(&self) -> Option<&str> {
        self.course.undo.undo_title()
    }

    /// What redo would make again.
    pub fn redo_title(&self) -> Option<&str> {
        self.course.undo.redo_title()
    }

    /// Keeps weather records that were read, by the name of their file, for a site that asks for them now or later.
    pub fn know_weather(&mut self, file: &str, weather: Arc<Weather>) {
        if self.plan.know_weather(file, weather) {
            self.course.count();
        }
    }
}
