//! The garden's file while it is open: it writes each edit to the journal before the screen confirms it, saves in pauses and on
//! request, and deals with a file that was changed from outside.

use std::path::Path;
use std::sync::Arc;
use std::time::Duration;

use anyhow::Context as _;
use chrono::NaiveDate;

use super::clock::now;
use super::opening::{self, Found, WeatherOf, shown};
use super::said::reason;
use super::{earlier, files};
use crate::crops::CropBook;
use crate::garden::{Garden, limits};
use crate::season::Plan;
use crate::store::{Access, Kept, NotKept, Save, SaveError, StoreError};
use crate::tui::layers::Layer;
use crate::tui::layers::confirm::{Confirm, Yes};
use crate::tui::layers::notices::Line;
use crate::tui::layers::trouble::{Found as InFile, Leaving, Trouble};
use crate::tui::layers::versions::Version;
use crate::tui::session::Rest;
use crate::tui::{Session, Ui};
use outside::what_is_in_file;

mod outside;

/// How long the keys rest before unsaved edits are saved.
const PAUSE_BEFORE_SAVING: Duration = Duration::from_millis(800);

/// How often a failed write to the journal is tried again while the keys rest (starting value).
const PAUSE_BEFORE_TRYING_AGAIN: Duration = Duration::from_secs(5);

/// How often the file is checked while the keys rest: whether a read-only garden has become free, or ours was changed from
/// outside (starting value).
const PAUSE_BEFORE_LOOKING: Duration = Duration::from_secs(2);

/// What the next pause is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Errand {
    Save,
    WriteDown,
    Look,
    Watch,
}

/// Why a garden is not saved.
#[derive(Debug)]
enum NotSaved {
    /// The file is no longer what we last read or saved.
    Outside(InFile),
    /// The reason in words, without advice and without a full path.
    Because(String),
}

impl From<StoreError> for NotSaved {
    fn from(error: StoreError) -> Self {
        Self::Because(error.reason())
    }
}

/// Whether the grower has been told that a file's owner or group could not be kept.
#[derive(Debug)]
enum Rights {
    /// There is nothing to tell.
    Kept,
    /// Still to be told.
    ToSay(NotKept),
    /// Told.
    Said,
}

/// The file of the garden on the screen.
#[derive(Debug)]
pub(super) struct Keeper {
    kept: Option<Kept>,
    /// A question that waits until nothing else is in front, and what is said at the bottom until then.
    question: Option<(Trouble, String)>,
    /// Writing to the journal failed again in the last pause.
    has_tried_again: bool,
    /// The grower was told that the garden as it was opened could not be kept as a version.
    has_told_of_base: bool,
    /// What went wrong beside the file at the last save.
    trouble_beside: Option<String>,
    /// Where the last save put aside the unreadable thing that had replaced the file.
    aside: Option<String>,
    /// Whether the file's owner and group could be kept; told once.
    rights: Rights,
    /// The text of a read-only garden's file when it was last read.
    text_shown: Option<String>,
    book: Arc<CropBook>,
    weather_of: WeatherOf,
}

impl Keeper {
    /// No file yet.
    pub fn new(book: Arc<CropBook>, weather_of: WeatherOf) -> Self {
        Self {
            kept: None,
            question: None,
            has_tried_again: false,
            has_told_of_base: false,
            trouble_beside: None,
            aside: None,
            rights: Rights::Kept,
            text_shown: None,
            book,
            weather_of,
        }
    }

    fn take(&mut self, kept: Option<Kept>) {
        self.kept = kept;
        self.question = None;
        self.has_tried_again = false;
        self.has_told_of_base = false;
        self.rights = Rights::Kept;
        self.text_shown = None;
    }

    /// Takes over an opened file; returns its session and what is to be told.
    pub fn take_in(&mut self, found: Found, today: NaiveDate) -> (Session, Vec<Line>) {
        let (mut kept, session, lines) = opening::begin(found, &self.book, today);
        kept.know_ours(opening::is_garden);
        self.take(Some(kept));
        (session, lines)
    }

    /// Opens the file at a path and takes it over.
    pub fn open(&mut self, path: &Path, today: NaiveDate) -> anyhow::Result<(Session, Vec<Line>)> {
        // Our own lock would be in the way.
        self.take(None);
        let found = opening::find(path, self.weather_of)?;
        Ok(self.take_in(found, today))
    }

    /// Whether there is something to save. To the grower, edits that were all undone are nothing; but as long as the journal
    /// holds them, the next opening would report them.
    fn is_to_save(&self, session: &Session) -> bool {
        session.is_unsaved() || self.kept.as_ref().is_some_and(|kept| kept.n_waiting() > 0)
    }

    /// Whether the journal holds every edit that the file lacks.
    fn has_all_on_disk(&self, session: &Session) -> bool {
        session.keeping.unguarded.is_none() && self.kept.as_ref().is_some_and(|kept| !kept.has_pending())
    }

    /// Appends the steps made since the last call to the journal and flushes it once. If that fails, the failure is reported
    /// instead of the edit, and the edit stays in memory.
    pub fn write_down(&mut self, session: &mut Session, ui: &mut Ui) {
        let records = session.take_records();
        if !records.is_empty() {
            self.has_tried_again = false;
        }
        if records.is_empty() {
            return;
        }
        let Some(kept) = self.kept.as_mut() else {
            // A garden without a file has no journal either; one that had a file and lost it is another matter.
            if session.path.is_some() {
                let why = "its file could not be opened again".to_owned();
                ui.view.complain(format!("done, but not on disk: {why}; S saves under another name"));
                session.keeping.not_on_disk = Some(why);
            }
            return;
        };
        let mut trouble = None;
        for record in records {
            let appended = record.to_line().map_err(anyhow::Error::from);
            let appended = appended.and_then(|line| Ok(kept.append(&line)?));
            trouble = trouble.or(appended.err());
        }
        match (trouble, kept.flush()) {
            (None, Ok(())) => {
                session.keeping.not_on_disk = None;
                session.keeping.unguarded = None;
                if let Some(error) = kept.base_trouble().filter(|_| !self.has_told_of_base) {
                    self.has_told_of_base = true;
                    let why = error.reason();
                    ui.view.complain(format!(
                        "done, but the garden as it was opened could not be kept as a version: {why}"
                    ));
                }
            }
            // The grower was told at the opening, and the top line still shows it.
            (None, Err(StoreError::Unguarded { .. })) if session.keeping.unguarded.is_some() => {}
            (trouble, flushed) => {
                let flushed = flushed.err().map(anyhow::Error::from);
                let error = trouble.or(flushed);
                let why = error.as_ref().map(reason).unwrap_or_default();
                ui.view.complain(format!("done, but not on disk: {why}; S saves under another name"));
                session.keeping.not_on_disk = Some(why);
            }
        }
        self.note_loss(session, ui);
    }

    /// Tries again to write what could not be written to the journal.
    fn write_down_again(&mut self, session: &mut Session, ui: &mut Ui) {
        self.has_tried_again = true;
        let Some(kept) = self.kept.as_mut() else { return };
        if kept.flush().is_ok() {
            session.keeping.not_on_disk = None;
            session.keeping.unguarded = None;
            session.failed_revision = None;
            ui.view.say("every edit is on disk again");
        }
    }

    /// Opens the question that waits, once nothing else is in front.
    pub fn ask_what_waits(&mut self, ui: &mut Ui) {
        if ui.layers.is_empty()
            && let Some((question, said)) = self.question.take()
        {
            // The question says the same, and its keys belong on the bottom line.
            ui.view.notice.take_if(|notice| notice.text == said);
            ui.layers.push(Layer::Trouble(question));
        }
    }

    fn errand(&self, session: &Session) -> Option<Errand> {
        let kept = self.kept.as_ref()?;
        if session.keeping.newer_journal.is_some() {
            return None;
        }
        if let Some(held) = &session.keeping.held_by {
            return (!held.has_gone).then_some(Errand::Look);
        }
        if session.keeping.barred.is_some() {
            return Some(Errand::Look);
        }
        let may_save = self.is_to_save(session)
            && session.keeping.rests.is_none()
            && session.failed_revision != Some(session.sitting.revision());
        if may_save {
            return Some(Errand::Save);
        }
        if kept.has_pending() {
            return Some(Errand::WriteDown);
        }
        session.keeping.rests.is_none().then_some(Errand::Watch)
    }

    /// How long without a key until there is something to do; `None` if there is nothing.
    pub fn pause(&self, session: &Session) -> Option<Duration> {
        Some(match self.errand(session)? {
            Errand::WriteDown if self.has_tried_again => PAUSE_BEFORE_TRYING_AGAIN,
            Errand::Save | Errand::WriteDown => PAUSE_BEFORE_SAVING,
            Errand::Look | Errand::Watch => PAUSE_BEFORE_LOOKING,
        })
    }

    /// Does what a pause is for.
    pub fn at_pause(&mut self, session: &mut Session, ui: &mut Ui) {
        match self.errand(session) {
            Some(Errand::Save) => {
                let was_not_on_disk = session.keeping.not_on_disk.is_some();
                match self.write(session, Save::Pause) {
                    Err(not_saved) => self.tell(not_saved, session, ui),
                    // The earlier complaint no longer holds.
                    Ok(()) if was_not_on_disk => ui.view.say("every edit is on disk again"),
                    Ok(()) => {
                        if let Some(words) = self.words_of_rights() {
                            ui.view.complain(words);
                        }
                    }
                }
            }
            Some(Errand::WriteDown) => self.write_down_again(session, ui),
            Some(Errand::Look) => self.look(session, ui),
            Some(Errand::Watch) => self.watch(session, ui),
            None => {}
        }
        self.note_loss(session, ui);
    }

    /// Saves because the grower asked.
    pub fn save(&mut self, session: &mut Session, ui: &mut Ui) {
        self.save_as_is(Save::Asked, session, ui);
    }

    /// Overwrites whatever the file holds now, which is kept as an earlier version.
    pub fn write_over(&mut self, session: &mut Session, ui: &mut Ui) {
        self.save_as_is(Save::Replace, session, ui);
    }

    /// Saves to a new file of this name; the other names keep the old one.
    pub fn part(&mut self, session: &mut Session, ui: &mut Ui) {
        if let Some(kept) = self.kept.as_mut() {
            kept.let_part();
        }
        self.save_as_is(Save::Asked, session, ui);
    }

    /// Which of the file's owner and group could not be kept, if the grower has not been told yet.
    pub fn words_of_rights(&mut self) -> Option<String> {
        let Rights::ToSay(not_kept) = self.rights else { return None };
        self.rights = Rights::Said;
        Some(not_kept.to_string())
    }

    fn save_as_is(&mut self, why: Save, session: &mut Session, ui: &mut Ui) {
        self.question = None;
        match self.write(session, why) {
            Ok(()) => match (self.trouble_beside.take(), self.aside.take()) {
                (None, Some(aside)) => ui.view.say(format!("saved; what stood there is kept as {aside}")),
                (None, None) => match self.words_of_rights() {
                    None => ui.view.say("saved"),
                    Some(words) => ui.view.complain(format!("saved; {words}")),
                },
                (Some(trouble), _) => ui.view.complain(format!("saved, but {trouble}")),
            },
            Err(not_saved) => {
                self.tell(not_saved, session, ui);
                self.note_loss(session, ui);
                self.ask_what_waits(ui);
            }
        }
    }

    /// Writes the garden to its file.
    fn write(&mut self, session: &mut Session, why: Save) -> Result<(), NotSaved> {
        let Some(kept) = self.kept.as_mut() else {
            return Err(NotSaved::Because("this garden has no file yet".to_owned()));
        };
        let text = session.plan().garden().to_ron();
        if text.len() as u64 > limits::FILE_BYTES {
            session.failed_revision = Some(session.sitting.revision());
            let most = limits::FILE_BYTES / (1024 * 1024);
            return Err(NotSaved::Because(format!(
                "the garden has grown past the {most} MiB that can be opened again; take old plantings out or shorten notes"
            )));
        }
        match kept.save_with_trail(&text, &session.steps_to_keep(), now(), why) {
            Ok(saved) => {
                self.trouble_beside = saved.trouble.first().map(StoreError::reason);
                self.aside = saved.aside.as_deref().map(shown);
                if saved.not_kept.is_any() && matches!(self.rights, Rights::Kept) {
                    self.rights = Rights::ToSay(saved.not_kept);
                }
                session.saved_revision = session.sitting.revision();
                session.failed_revision = None;
                session.keeping.rests = None;
                session.keeping.not_on_disk = None;
                Ok(())
            }
            Err(SaveError::Gone) => {
                session.keeping.rests = Some(Rest::Gone);
                Err(NotSaved::Outside(InFile::Gone))
            }
            Err(SaveError::Linked { n_names }) => {
                session.keeping.rests = Some(Rest::Linked);
                Err(NotSaved::Outside(InFile::Linked(n_names)))
            }
            Err(SaveError::Changed { text }) => {
                session.keeping.rests = Some(Rest::Changed);
                let base = kept.base_text().to_owned();
                Err(NotSaved::Outside(what_is_in_file(session, &base, &text)))
            }
            Err(SaveError::Unreadable { why }) => {
                session.keeping.rests = Some(Rest::Unreadable);
                Err(NotSaved::Outside(InFile::Unreadable(why)))
            }
            Err(SaveError::Store(error @ StoreError::LeadsElsewhere { .. })) => {
                session.keeping.rests = Some(Rest::Changed);
                Err(NotSaved::Outside(InFile::Elsewhere(error.reason())))
            }
            Err(SaveError::Store(error)) => {
                session.failed_revision = Some(session.sitting.revision());
                Err(error.into())
            }
        }
    }

    /// Says why it is not saved; a question waits for its turn.
    fn tell(&mut self, not_saved: NotSaved, session: &Session, ui: &mut Ui) {
        match not_saved {
            NotSaved::Because(why) => ui.view.complain(format!("not saved: {why}; S saves under another name")),
            NotSaved::Outside(found) => {
                let words = format!("not saved: the file {}; s asks what to do", found.in_few_words());
                self.ask_later(found, words, session, ui);
            }
        }
    }

    /// Says what has happened to the file, and has the question about it wait for its turn.
    fn ask_later(&mut self, found: InFile, words: String, session: &Session, ui: &mut Ui) {
        ui.view.complain(words.clone());
        if let Some(path) = &session.path {
            self.question = Some((Trouble::new(found, path, Leaving::Not), words));
        }
    }

    /// Whether the program may be left; if not, a question on the screen says why.
    pub fn may_leave(&mut self, session: &mut Session, ui: &mut Ui) -> bool {
        if session.path.is_none() || session.read_only_because().is_some() {
            return true;
        }
        // If the file was changed from outside, the grower is asked, even if there is nothing to save.
        if !self.is_to_save(session) && session.keeping.rests.is_none() && !self.is_changed_outside() {
            if let Some(kept) = self.kept.as_mut().filter(|kept| kept.owes_trail()) {
                // If undo cannot be kept for another day, that is not worth a question.
                let _ = kept.keep_trail(&session.steps_to_keep());
            }
            return true;
        }
        match self.write(session, Save::Asked) {
            Ok(()) => return true,
            Err(NotSaved::Outside(found)) => {
                if let Some(path) = &session.path {
                    // Ctrl-C works from any layer, so this question may already be open.
                    ui.layers.retain(|layer| !matches!(layer, Layer::Trouble(_)));
                    let waits = matches!(found, InFile::Linked(_)) && self.has_all_on_disk(session);
                    let leaving = if waits { Leaving::Waits } else { Leaving::Aside };
                    ui.layers.push(Layer::Trouble(Trouble::new(found, path, leaving)));
                }
            }
            Err(NotSaved::Because(_)) if self.note_loss(session, ui) => {}
            Err(NotSaved::Because(why)) => {
                let what = if self.has_all_on_disk(session) {
                    "The journal holds every edit: they come back when the garden is opened again. L leaves"
                } else {
                    "L leaves and loses what was edited since the last save"
                };
                let question =
                    format!("not saved: {why}. {what}; any other key goes back, where S saves under another name.");
                ui.layers.push(Layer::Confirm(Confirm { yes: Yes::QuitUnsaved, question }));
            }
        }
        false
    }

    /// The terminal is gone or the system asks us to end: keeps what can be kept, without asking.
    pub fn leave_now(&mut self, session: &mut Session, ui: &mut Ui) {
        self.write_down(session, ui);
        if self.is_to_save(session) && session.read_only_because().is_none() && session.keeping.rests.is_none() {
            // If this fails, the journal still holds it.
            let _ = self.write(session, Save::Pause);
        } else if session.read_only_because().is_none() && self.is_changed_outside() {
            // Nobody can be asked. What is on the screen is in the journal, or is what was last read or saved.
            let _ = self.kept.as_mut().map(|kept| kept.keep_base(now()));
        }
    }

    /// Puts the garden aside in a file of its own in the kept folder; returns where.
    pub fn set_aside(&mut self, session: &Session) -> Result<String, String> {
        let Some(kept) = self.kept.as_mut() else { return Err("this garden has no file yet".to_owned()) };
        let text = session.plan().garden().to_ron();
        match kept.set_aside("mine", &text, now()) {
            Ok(path) => Ok(shown(&path)),
            Err(error) => Err(error.reason()),
        }
    }

    /// Drops the journal's records once the garden that they lead to has been put aside. If that fails, the next opening reports
    /// them.
    pub fn let_records_go(&mut self) {
        let _ = self.kept.as_mut().map(Kept::let_records_go);
    }

    /// Saves under another name and goes on with that file. `Ok` holds what else is to be told.
    pub fn save_as(&mut self, path: &Path, session: &mut Session) -> anyhow::Result<Vec<Line>> {
        let text = session.plan().garden().to_ron();
        let (mut kept, lines) = files::claim(path, &text, &session.steps_to_keep())?;
        kept.know_ours(opening::is_garden);
        let unguarded = if let Access::Unguarded(why) = kept.access() { Some(why.clone()) } else { None };
        self.leave_behind(session, &text);
        self.take(Some(kept));
        session.path = Some(path.to_owned());
        session.saved_revision = session.sitting.revision();
        session.failed_revision = None;
        session.keeping = crate::tui::session::Keeping { unguarded, ..Default::default() };
        Ok(lines)
    }

    /// Saves edits still waiting for the file we leave, or puts them aside if that file was changed from outside: otherwise its
    /// journal would bring back edits that now live under another name. If neither works, they stay in the journal.
    fn leave_behind(&mut self, session: &Session, text: &str) {
        let Some(before) = self.kept.as_mut().filter(|before| before.n_waiting() > 0) else { return };
        let is_saved = session.keeping.rests.is_none()
            && before.save_with_trail(text, &session.steps_to_keep(), now(), Save::Pause).is_ok();
        if !is_saved {
            let _ = before.discard(now());
        }
    }

    /// The earlier versions of the file, each with what has changed since.
    pub fn versions(&mut self, session: &Session) -> anyhow::Result<Vec<Version>> {
        let kept = self.kept.as_mut().context("this garden has no file yet")?;
        earlier::list(kept, session)
    }

    /// Goes back to a version; returns when it was saved.
    pub fn restore(&mut self, number: usize, session: &mut Session) -> anyhow::Result<String> {
        let kept = self.kept.as_mut().context("this garden has no file yet")?;
        let (garden, when) = earlier::restore(kept, number, session)?;
        self.show_restored(garden, session);
        Ok(when)
    }

    /// Brings back something put aside; returns what it is.
    pub fn bring_back(&mut self, aside: &Path, session: &mut Session) -> anyhow::Result<String> {
        let kept = self.kept.as_mut().context("this garden has no file yet")?;
        let (garden, what) = earlier::bring_back(kept, aside, session)?;
        self.show_restored(garden, session);
        Ok(what)
    }

    fn show_restored(&mut self, garden: Garden, session: &mut Session) {
        let path = session.path.clone().unwrap_or_default();
        // The weather records may be gone by now; the garden is already in its file, so it is shown all the same.
        let weather = (self.weather_of)(&garden, &path).unwrap_or_default();
        session.show_instead(Plan::with_weather(garden, &self.book, weather));
        session.keeping.rests = None;
        self.question = None;
    }
}

#[cfg(test)]
mod tests;
