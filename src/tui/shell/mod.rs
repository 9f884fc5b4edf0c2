//! Everything that touches terminal, signals and files.

mod files;
mod guard;
mod inputs;
mod site;

use std::io::IsTerminal;
use std::path::PathBuf;
use std::sync::Arc;
use std::sync::mpsc::{Receiver, RecvTimeoutError};
use std::time::Duration;

use anyhow::{Context, bail};
use chrono::NaiveDate;
use ratatui::Terminal;
use ratatui::backend::CrosstermBackend;
use ratatui::layout::Rect;

use super::layers::Layer;
use super::layers::confirm::{Confirm, Yes};
use super::layers::site_form::SiteForm;
use super::layers::welcome::Welcome;
use super::update::{Effect, update};
use super::view::{Options, View};
use super::{Session, draw};
use crate::climate::Weather;
use crate::crops::CropBook;
use crate::garden::Garden;
use crate::season::Plan;
use crate::units::Week;
use inputs::Event;

/// How long nothing happens before unsaved edits are saved.
const PAUSE_BEFORE_SAVING: Duration = Duration::from_millis(800);

/// What to open.
#[derive(Debug)]
pub enum Start {
    /// A garden file already read.
    Garden {
        /// The garden.
        garden: Box<Garden>,
        /// Its file.
        path: PathBuf,
        /// The weather records it names.
        weather: Option<Arc<Weather>>,
    },
    /// Nothing yet: ask.
    FirstRun,
}

/// What the faces hand in.
pub struct Surroundings {
    /// What to open.
    pub start: Start,
    /// The crop book.
    pub book: Arc<CropBook>,
    /// Today.
    pub today: NaiveDate,
    /// How to draw.
    pub options: Options,
    /// Makes a fresh copy of the demo in a temporary place.
    pub open_demo: fn() -> anyhow::Result<(Garden, PathBuf)>,
    /// Remembers the garden last opened.
    pub remember: fn(&std::path::Path),
}

/// Opens the full screen and stays until the grower leaves.
///
/// # Errors
/// No terminal; the terminal cannot be set up.
pub fn run(surroundings: Surroundings) -> anyhow::Result<()> {
    if !std::io::stdin().is_terminal() || !std::io::stdout().is_terminal() {
        bail!("the full screen needs a terminal; `bedfellow --help` lists the commands that do not");
    }
    let Surroundings { start, book, today, options, open_demo, remember } = surroundings;
    let mut view = View::new(Week::of(today), options);
    let (garden, path, weather) = match start {
        Start::Garden { garden, path, weather } => {
            remember(&path);
            (*garden, Some(path), weather)
        }
        Start::FirstRun => {
            view.layers.push(Layer::Welcome(Welcome));
            (Garden::empty("new garden"), None, None)
        }
    };
    let session = Session::new(Plan::with_weather(garden, &book, weather), path, today);
    let events = inputs::listen().context("cannot listen to keys and signals")?;
    let _guard = guard::Guard::enter(view.options.has_mouse).context("cannot set up the terminal")?;
    let terminal = Terminal::new(CrosstermBackend::new(std::io::stdout())).context("cannot set up the terminal")?;
    Shell { terminal, events, session, view, book, open_demo, remember }.stay()
}

struct Shell {
    terminal: Terminal<CrosstermBackend<std::io::Stdout>>,
    events: Receiver<Event>,
    session: Session,
    view: View,
    book: Arc<CropBook>,
    open_demo: fn() -> anyhow::Result<(Garden, PathBuf)>,
    remember: fn(&std::path::Path),
}

/// Whether to go on.
#[derive(PartialEq, Eq)]
enum Next {
    Stay,
    Leave,
}

impl Shell {
    fn stay(mut self) -> anyhow::Result<()> {
        let size = self.terminal.size().context("cannot ask the terminal its size")?;
        self.view.size = (size.width, size.height);
        loop {
            self.paint()?;
            let Some(first) = self.wait() else { continue };
            // Everything that waits is handled before the next frame.
            let mut event = Some(first);
            while let Some(current) = event {
                if self.handle(current)? == Next::Leave {
                    return Ok(());
                }
                event = self.events.try_recv().ok();
            }
        }
    }

    fn paint(&mut self) -> anyhow::Result<()> {
        guard::begin_frame();
        let (session, view) = (&self.session, &self.view);
        let drawn = self.terminal.draw(|frame| draw(frame, session, view)).map(|_| ());
        guard::end_frame();
        drawn.context("cannot draw on the terminal")
    }

    /// The next event; `None` after a pause in which unsaved edits were saved.
    fn wait(&mut self) -> Option<Event> {
        let must_save = self.session.is_unsaved()
            && self.session.path.is_some()
            && self.session.failed_revision != Some(self.session.plan.revision());
        if !must_save {
            return self.events.recv().ok().or(Some(Event::Gone));
        }
        match self.events.recv_timeout(PAUSE_BEFORE_SAVING) {
            Ok(event) => Some(event),
            Err(RecvTimeoutError::Timeout) => {
                self.save();
                None
            }
            Err(RecvTimeoutError::Disconnected) => Some(Event::Gone),
        }
    }

    fn handle(&mut self, event: Event) -> anyhow::Result<Next> {
        match event {
            Event::Input(input) => {
                #[cfg(debug_assertions)]
                guard::panic_on_demand(&input);
                let effects = update(&mut self.session, &mut self.view, &input);
                for effect in effects {
                    if self.perform(effect)? == Next::Leave {
                        return Ok(Next::Leave);
                    }
                }
                Ok(Next::Stay)
            }
            Event::Suspend => {
                self.suspend()?;
                Ok(Next::Stay)
            }
            Event::Gone => {
                if self.session.is_unsaved() {
                    self.save();
                }
                Ok(Next::Leave)
            }
        }
    }

    fn perform(&mut self, effect: Effect) -> anyhow::Result<Next> {
        match effect {
            Effect::Save => {
                if self.save() {
                    self.view.say("saved");
                }
            }
            Effect::SaveAs { path, may_overwrite } => self.save_as(path, may_overwrite),
            Effect::WriteList { path, may_overwrite } => self.write_list(path, may_overwrite),
            Effect::OpenDemo => match (self.open_demo)() {
                Ok((garden, path)) => self.open(garden, path),
                Err(error) => self.ask_again(&format!("{error:#}")),
            },
            Effect::NewGarden(path) => match files::begin(&path) {
                Ok(garden) => {
                    (self.remember)(&path);
                    self.open(garden, path);
                    self.view.layers.push(Layer::SiteForm(Box::new(SiteForm::of(&self.session))));
                }
                Err(error) => self.ask_again(&format!("{error:#}")),
            },
            Effect::SetSite(site) => self.set_site(*site),
            Effect::Mouse(on) => guard::set_mouse(on),
            Effect::Suspend => self.suspend()?,
            Effect::Quit => {
                if !self.session.is_unsaved() || self.session.path.is_none() {
                    return Ok(Next::Leave);
                }
                let Err(why) = self.write() else { return Ok(Next::Leave) };
                self.view.layers.push(Layer::Confirm(Confirm {
                    yes: Yes::QuitUnsaved,
                    yes_key: 'L',
                    question: format!(
                        "not saved: {why}. L leaves and loses what was edited since the last save; any other key goes back, where S saves under another name."
                    ),
                }));
            }
            Effect::QuitUnsaved => return Ok(Next::Leave),
        }
        Ok(Next::Stay)
    }

    /// A failed start goes back to the question it came from.
    fn ask_again(&mut self, why: &str) {
        if self.session.path.is_none() {
            self.view.layers = vec![Layer::Welcome(Welcome)];
        }
        self.view.complain(why);
    }

    fn open(&mut self, garden: Garden, path: PathBuf) {
        self.session = Session::new(Plan::new(garden, &self.book), Some(path), self.session.today);
        let size = self.view.size;
        self.view = View::new(Week::of(self.session.today), self.view.options);
        self.view.size = size;
    }

    /// Saves and says why if it cannot; whether it did.
    fn save(&mut self) -> bool {
        match self.write() {
            Ok(()) => true,
            Err(why) => {
                self.view.complain(format!("not saved: {why}; S saves under another name"));
                false
            }
        }
    }

    /// Writes the garden to its file. What went wrong comes without the advice that the caller gives by its key.
    fn write(&mut self) -> Result<(), String> {
        let Some(path) = self.session.path.clone() else { return Err("this garden has no file yet".to_owned()) };
        match files::save(self.session.plan.garden(), &path) {
            Ok(()) => {
                self.session.saved_revision = self.session.plan.revision();
                self.session.failed_revision = None;
                Ok(())
            }
            Err(error) => {
                self.session.failed_revision = Some(self.session.plan.revision());
                Err(format!("{error:#}").replace("; save under another name", ""))
            }
        }
    }

    fn save_as(&mut self, path: PathBuf, may_overwrite: bool) {
        if path.exists() && !may_overwrite && self.session.path.as_ref() != Some(&path) {
            let question = format!("{} is there already. O writes over it and what it held is lost.", path.display());
            self.view.layers.push(Layer::Confirm(Confirm { yes: Yes::SaveOver(path), yes_key: 'O', question }));
            return;
        }
        let before = self.session.path.replace(path.clone());
        if self.save() {
            (self.remember)(&path);
            self.view.say(format!("saved as {}", path.display()));
        } else {
            self.session.path = before;
        }
    }

    fn write_list(&mut self, path: PathBuf, may_overwrite: bool) {
        if path.exists() && !may_overwrite {
            let question = format!("{} is there already. O writes the list over it.", path.display());
            self.view.layers.push(Layer::Confirm(Confirm { yes: Yes::ListOver(path), yes_key: 'O', question }));
            return;
        }
        match files::write_list(&self.session, self.view.options.is_ascii, &path) {
            Ok(()) => self.view.say(format!("planting list written to {}", path.display())),
            Err(error) => self.view.complain(format!("{error:#}")),
        }
    }

    fn suspend(&mut self) -> anyhow::Result<()> {
        guard::leave();
        guard::stop_process();
        guard::enter_again(self.view.options.has_mouse).context("cannot set up the terminal again")?;
        let size = self.terminal.size().context("cannot ask the terminal its size")?;
        self.view.size = (size.width, size.height);
        // Not Terminal::clear: that asks where the cursor is, and the answer would go to the thread that reads keys.
        let whole = Rect { x: 0, y: 0, width: size.width, height: size.height };
        self.terminal.resize(whole).context("cannot draw on the terminal")
    }
}
