//! The file when another program holds it or has written to it: noticing, asking, taking theirs, taking over.

use std::path::Path;
use std::sync::Arc;

use super::{Keeper, WeatherOf, opening};
use crate::crops::CropBook;
use crate::garden::{Differences, Garden, limits};
use crate::season::Plan;
use crate::store::{self, Access, Kept, Outside};
use crate::tui::layers::Layer;
use crate::tui::layers::notices::{Line, Notices, differences};
use crate::tui::layers::trouble::Found as InFile;
use crate::tui::session::{Keeping, Rest};
use crate::tui::shell::clock::now;
use crate::tui::shell::opening::shown;
use crate::tui::shell::said::reason;
use crate::tui::{Session, Ui};

impl Keeper {
    /// Puts the garden aside and reads what the file holds now.
    pub fn take_theirs(&mut self, session: &mut Session, ui: &mut Ui) {
        let aside = match self.set_aside(session) {
            Ok(aside) => aside,
            Err(why) => {
                ui.view.complain(format!("nothing is changed: yours cannot be put aside: {why}"));
                return;
            }
        };
        let Some(path) = session.path.clone() else { return };
        // Read it first: nothing of ours is given up until that has worked.
        if let Err(error) = garden_in(&path) {
            ui.view.complain(format!("nothing is changed: the file cannot be read: {}", reason(&error)));
            return;
        }
        self.let_records_go();
        match self.open(&path, session.today) {
            Ok((taken, lines)) => {
                *session = taken;
                let mut told = vec![
                    Line::plain("The garden on the screen is now what the file holds."),
                    Line::plain(&format!("Yours is put aside in {aside}")),
                    Line::plain("V lists it after the earlier versions and brings it back."),
                ];
                if !lines.is_empty() {
                    told.push(Line::plain(""));
                    told.extend(lines);
                }
                ui.layers.push(Layer::Notices(Notices::new("Theirs is taken", told)));
            }
            Err(error) => {
                ui.view.complain(format!("the file cannot be read: {}; yours is put aside in {aside}", reason(&error)));
            }
        }
    }

    /// Checks whether something else has written to our file, so that nobody goes on planning on an outdated garden.
    pub(super) fn watch(&mut self, session: &mut Session, ui: &mut Ui) {
        let Some(kept) = self.kept.as_mut() else { return };
        let (found, rest) = match kept.look() {
            Ok(Outside::Same) => return,
            Ok(Outside::Gone) => (InFile::Gone, Rest::Gone),
            Ok(Outside::Changed { text }) => {
                let base = kept.base_text().to_owned();
                (what_is_in_file(session, &base, &text), Rest::Changed)
            }
            Ok(Outside::Unreadable { why }) => (InFile::Unreadable(why), Rest::Unreadable),
            Err(error) => (InFile::Elsewhere(error.reason()), Rest::Changed),
        };
        // Only this program still has it. If it cannot be kept, the question offers other ways.
        let _ = kept.keep_base(now());
        session.keeping.rests = Some(rest);
        let words = format!("the file {}; s asks what to do", found.in_few_words());
        self.ask_later(found, words, session, ui);
    }

    /// Notes that another program took the garden while its kept folder was missing: from now on it is read-only, and unsaved edits
    /// are put aside, since they can no longer go into the file. Whether this was the case and had not been noted yet.
    pub(super) fn note_loss(&mut self, session: &mut Session, ui: &mut Ui) -> bool {
        let Some(Access::ReadOnly(holder)) = self.kept.as_ref().map(Kept::access) else { return false };
        if session.read_only_because().is_some() {
            return false;
        }
        let held = opening::held_by(holder);
        let edits = match session.is_unsaved().then(|| self.set_aside(session)) {
            None => String::new(),
            Some(Ok(_)) => {
                session.saved_revision = session.sitting.revision();
                "your edits are put aside, V lists them; ".to_owned()
            }
            Some(Err(why)) => format!("S saves your edits under another name, they cannot be put aside ({why}); "),
        };
        ui.view.complain(format!(
            "read-only: {edits}its hidden folder was deleted, and it is open elsewhere now: {}",
            held.who
        ));
        self.question = None;
        session.keeping = Keeping { held_by: Some(held), ..Keeping::default() };
        true
    }

    /// Whether the file has changed since it was last read or saved here.
    pub(super) fn is_changed_outside(&mut self) -> bool {
        self.kept.as_mut().is_some_and(|kept| !matches!(kept.look(), Ok(Outside::Same)))
    }

    /// Checks whether the program that has the garden open has gone, and whether it has saved meanwhile.
    pub(super) fn look(&mut self, session: &mut Session, ui: &mut Ui) {
        let Some(kept) = self.kept.as_mut() else { return };
        let outside = kept.look();
        if let Ok(Outside::Changed { text }) = outside
            && self.text_shown.as_ref() != Some(&text)
            && !session.is_unsaved()
        {
            let path = session.path.clone().unwrap_or_default();
            if let Ok(plan) = plan_of(&text, &path, &self.book, self.weather_of) {
                session.show_instead(plan);
                ui.view.say("the other program has saved: the garden is read anew");
            }
            self.text_shown = Some(text);
        }
        let has_gone = self.kept.as_ref().is_some_and(Kept::is_free);
        if let Some(held) = session.keeping.held_by.as_mut().filter(|_| has_gone) {
            held.has_gone = true;
            held.reason = format!("it was open elsewhere; that has let go, O takes it over ({})", held.who);
            ui.view.say("the other program has closed the garden: O takes it over");
        }
    }

    /// Takes over a garden that another program had open, rereading file and journal.
    pub fn take_over(&mut self, session: &mut Session, ui: &mut Ui) {
        let Some(path) = session.path.clone() else { return };
        let Some(kept) = self.kept.as_mut() else {
            // We already hold the lock, from an attempt at which the file could not be read.
            match self.open(&path, session.today) {
                Ok((opened, lines)) => {
                    *session = opened;
                    say_taken(ui, lines);
                }
                Err(error) => ui.view.complain(format!("not taken over: {}", reason(&error))),
            }
            return;
        };
        let fresh = match kept.take_over(now()) {
            Ok(Some(fresh)) => fresh,
            Ok(None) => {
                match kept.access() {
                    Access::ReadOnly(holder) => {
                        let held = opening::held_by(holder);
                        ui.view.complain(format!("still open elsewhere: {}", held.who));
                        (session.keeping.held_by, session.keeping.barred) = (Some(held), None);
                    }
                    Access::Barred(why) => {
                        ui.view.complain(format!("still read-only: {why}"));
                        (session.keeping.held_by, session.keeping.barred) = (None, Some(opening::barred(why)));
                    }
                    _ => {}
                }
                return;
            }
            Err(error) => {
                ui.view.complain(format!("not taken over: {}", error.reason()));
                return;
            }
        };
        let plan = match plan_of(&fresh.text, &path, &self.book, self.weather_of) {
            Ok(plan) => plan,
            Err(error) => {
                // Release the lock again: the screen does not show what is in the file.
                self.take(None);
                ui.view.complain(format!("not taken over, the file cannot be read: {}", reason(&error)));
                return;
            }
        };
        let lines = opening::begin_again(&fresh, kept, session, plan);
        say_taken(ui, lines);
    }
}

fn say_taken(ui: &mut Ui, lines: Vec<Line>) {
    ui.view.say("the garden is yours, and was read anew");
    if !lines.is_empty() {
        ui.layers.push(Layer::Notices(Notices::new("The garden is yours", lines)));
    }
}

fn garden_in(path: &Path) -> anyhow::Result<Garden> {
    let text = store::read_text(path, limits::FILE_BYTES)?;
    Ok(Garden::from_ron(&text, &shown(path))?)
}

/// The plan of a file's text.
fn plan_of(text: &str, path: &Path, book: &Arc<CropBook>, weather_of: WeatherOf) -> anyhow::Result<Plan> {
    let garden = Garden::from_ron(text, &shown(path))?;
    let weather = weather_of(&garden, path)?;
    Ok(Plan::with_weather(garden, book, weather))
}

/// What the file holds instead of the garden that was read or saved.
pub(super) fn what_is_in_file(session: &Session, base: &str, text: &str) -> InFile {
    let theirs = match Garden::from_ron(text, "it") {
        Ok(theirs) => theirs,
        Err(error) => return InFile::NoGarden(error.to_string()),
    };
    let mine = session.plan().garden();
    // The base could be read before; without it, all differences are told against mine.
    let base = Garden::from_ron(base, "it").unwrap_or_else(|_| mine.clone());
    let found = Differences::between(&base, mine, &theirs);
    InFile::Changed(differences(session.plan(), &found, Some(("mine", "theirs"))))
}
