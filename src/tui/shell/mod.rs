//! Everything that touches terminal, signals and files.

mod clock;
mod decode;
mod earlier;
mod files;
mod guard;
mod inputs;
mod keeping;
mod opening;
mod said;
mod screen;
mod site;

use std::ffi::c_int;
use std::io::IsTerminal;
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::sync::mpsc::{Receiver, RecvTimeoutError};
use std::time::{Duration, Instant};

use anyhow::{Context, bail};
use ratatui::Terminal;
use ratatui::layout::{Rect, Size};

use super::effect::Effect;
use super::layers::Layer;
use super::layers::confirm::{Confirm, Yes};
use super::layers::notices::{Line, Notices};
use super::layers::site_form::SiteForm;
use super::layers::versions::Versions;
use super::layers::welcome::Welcome;
use super::ui::Ui;
use super::update::{Input, update};
use super::view::Options;
use super::{Session, draw};
use crate::crops::CropBook;
use crate::garden::Garden;
use crate::season::Plan;
use crate::units::Week;
use crate::units::text::short_path;
use inputs::Event;
use keeping::Keeper;
use said::reason;
use screen::{Drawn, Within};

pub use clock::{Today, now, today};
pub use earlier::{FromAside, garden_aside};
pub use opening::{Found, WeatherOf, find};

/// How long a steady stream of keys may delay a frame (starting value).
const LONGEST_WITHOUT_FRAME: Duration = Duration::from_millis(100);

/// What to open.
#[derive(Debug)]
pub enum Start {
    /// A garden file opened and read.
    Garden(Box<Found>),
    /// Nothing yet: ask. With what else is to be said, if anything.
    FirstRun(Option<String>),
}

/// What the faces hand in.
pub struct Surroundings {
    /// What to open.
    pub start: Start,
    /// The crop book.
    pub book: Arc<CropBook>,
    /// Today.
    pub today: Today,
    /// How to draw.
    pub options: Options,
    /// Makes a fresh copy of the demo in a temporary place; returns where.
    pub copy_demo: fn() -> anyhow::Result<PathBuf>,
    /// Reads the weather records that a garden names, without writing to the standard streams.
    pub weather_of: WeatherOf,
    /// Remembers the garden last opened.
    pub remember: fn(&Path),
}

/// Runs the full screen until the grower leaves; returns what is to be said afterwards, if anything. If a signal ended it, the
/// process ends here by that signal, once the plan is safe and the terminal restored.
///
/// # Errors
/// There is no terminal, or it cannot be set up.
pub fn run(surroundings: Surroundings) -> anyhow::Result<Option<String>> {
    if !std::io::stdin().is_terminal() || !std::io::stdout().is_terminal() {
        bail!("the full screen needs a terminal; `bedfellow --help` lists the commands that do not");
    }
    let Surroundings { start, book, today, options, copy_demo, weather_of, remember } = surroundings;
    let Today { day: today, doubt } = today;
    let mut ui = Ui::new(Week::of(today), options);
    let mut keeper = Keeper::new(Arc::clone(&book), weather_of);
    let session = match start {
        Start::Garden(found) => {
            remember(&found.path);
            let (session, lines) = keeper.take_in(*found, today);
            show_page(&mut ui, opening::with_doubt(doubt.as_deref(), lines));
            session
        }
        Start::FirstRun(why) => {
            ui.layers.push(Layer::Welcome(Welcome));
            if let Some(why) = why.or(doubt) {
                ui.view.complain(why);
            }
            Session::new(Plan::new(Garden::empty("new garden"), &book), None, today)
        }
    };
    let events = inputs::listen().context("cannot listen to keys and signals")?;
    let guard = guard::Guard::enter(ui.view.options.has_mouse).context("cannot set up the terminal")?;
    let terminal = Terminal::new(Within::new()).context("cannot set up the terminal")?;
    let shell = Shell {
        terminal,
        events,
        session,
        ui,
        keeper,
        copy_demo,
        remember,
        farewell: None,
        told_size: None,
        end_by: None,
    };
    let (ended, end_by) = shell.stay();
    drop(guard);
    if let Some(signal) = end_by {
        guard::end_by(signal);
    }
    ended
}

/// Shows what is to be told at an opening, if anything.
fn show_page(ui: &mut Ui, lines: Vec<Line>) {
    if !lines.is_empty() {
        ui.layers.push(Layer::Notices(Notices::new("Before you go on", lines)));
    }
}

struct Shell {
    terminal: Terminal<Within>,
    events: Receiver<Event>,
    session: Session,
    ui: Ui,
    keeper: Keeper,
    copy_demo: fn() -> anyhow::Result<PathBuf>,
    remember: fn(&Path),
    /// What is said once the terminal is restored.
    farewell: Option<String>,
    /// The size of a terminal too large to be drawn whole, once that was said.
    told_size: Option<Size>,
    /// The signal that ends the program.
    end_by: Option<c_int>,
}

/// Whether to go on.
#[derive(PartialEq, Eq)]
enum Next {
    Stay,
    Leave,
}

impl Shell {
    fn stay(mut self) -> (anyhow::Result<Option<String>>, Option<c_int>) {
        let ended = self.rounds();
        if ended.is_err() {
            // The first sign of a lost terminal is often a frame that cannot be drawn.
            self.keeper.leave_now(&mut self.session, &mut self.ui);
        }
        (ended.map(|()| self.farewell), self.end_by)
    }

    /// Frame by frame until the grower leaves.
    fn rounds(&mut self) -> anyhow::Result<()> {
        loop {
            // Edits are on disk before the frame that confirms them.
            self.keeper.write_down(&mut self.session, &mut self.ui);
            self.keeper.ask_what_waits(&mut self.ui);
            self.take_size()?;
            self.paint()?;
            let Some(first) = self.wait() else { continue };
            // Everything that waits is handled before the next frame, unless there is no end to it.
            let since = Instant::now();
            let mut event = Some(first);
            while let Some(current) = event {
                if self.handle(current)? == Next::Leave {
                    return Ok(());
                }
                event = if since.elapsed() < LONGEST_WITHOUT_FRAME { self.events.try_recv().ok() } else { None };
            }
        }
    }

    /// Asks the size of the terminal; says so if not all of it is drawn.
    fn take_size(&mut self) -> anyhow::Result<Size> {
        let Drawn { size, beyond } = Drawn::now().context("cannot ask the terminal its size")?;
        update(&mut self.session, &mut self.ui, &Input::Resize(size.width, size.height));
        if beyond != self.told_size
            && let Some(told) = beyond
        {
            let times = if self.ui.view.options.is_ascii { "x" } else { "×" };
            self.ui.view.complain(format!(
                "the terminal reports {}{times}{} cells; {}{times}{} of them are drawn",
                told.width, told.height, size.width, size.height
            ));
        }
        self.told_size = beyond;
        Ok(size)
    }

    fn paint(&mut self) -> anyhow::Result<()> {
        guard::begin_frame();
        let (session, ui) = (&self.session, &self.ui);
        let drawn = self.terminal.draw(|frame| draw(frame, session, ui)).map(|_| ());
        guard::end_frame();
        drawn.context("cannot draw on the terminal")
    }

    /// The next event; `None` after a pause in which something was done.
    fn wait(&mut self) -> Option<Event> {
        let Some(pause) = self.keeper.pause(&self.session) else {
            return self.events.recv().ok().or(Some(Event::Gone));
        };
        match self.events.recv_timeout(pause) {
            Ok(event) => Some(event),
            Err(RecvTimeoutError::Timeout) => {
                self.keeper.at_pause(&mut self.session, &mut self.ui);
                None
            }
            Err(RecvTimeoutError::Disconnected) => Some(Event::Gone),
        }
    }

    fn handle(&mut self, event: Event) -> anyhow::Result<Next> {
        match event {
            Event::Inputs(inputs) => {
                // The terminal may have grown since the last frame; a key pressed since then must not be lost.
                if !self.ui.view.is_in_sight() {
                    self.take_size()?;
                }
                for input in &inputs {
                    #[cfg(debug_assertions)]
                    guard::panic_on_demand(input);
                    for effect in update(&mut self.session, &mut self.ui, input) {
                        if self.perform(effect)? == Next::Leave {
                            return Ok(Next::Leave);
                        }
                    }
                }
                Ok(Next::Stay)
            }
            // The next frame asks for the size.
            Event::Resized => Ok(Next::Stay),
            Event::Continued => {
                self.enter_again()?;
                Ok(Next::Stay)
            }
            Event::End(signal) => {
                self.end_by = Some(signal);
                self.keeper.leave_now(&mut self.session, &mut self.ui);
                Ok(Next::Leave)
            }
            Event::Suspend => {
                self.keeper.write_down(&mut self.session, &mut self.ui);
                self.suspend()?;
                Ok(Next::Stay)
            }
            Event::Gone => {
                self.keeper.leave_now(&mut self.session, &mut self.ui);
                Ok(Next::Leave)
            }
        }
    }

    fn perform(&mut self, effect: Effect) -> anyhow::Result<Next> {
        // Whatever the effect does must find every step in the journal.
        self.keeper.write_down(&mut self.session, &mut self.ui);
        match effect {
            Effect::Save => self.keeper.save(&mut self.session, &mut self.ui),
            Effect::WriteOver => self.keeper.write_over(&mut self.session, &mut self.ui),
            Effect::Part => self.keeper.part(&mut self.session, &mut self.ui),
            Effect::TakeTheirs => self.keeper.take_theirs(&mut self.session, &mut self.ui),
            Effect::TakeOver => self.keeper.take_over(&mut self.session, &mut self.ui),
            Effect::ShowVersions => self.show_versions(),
            Effect::Restore(number) => self.restore(number),
            Effect::BringBack(path) => self.bring_back(&path),
            Effect::SaveAs { path, may_overwrite } => self.save_as(&path, may_overwrite),
            Effect::WriteList { path, may_overwrite } => self.write_list(path, may_overwrite),
            Effect::OpenDemo => {
                let opened = (self.copy_demo)().and_then(|path| self.open(&path));
                if let Err(error) = opened {
                    self.ask_again(&reason(&error));
                }
            }
            Effect::NewGarden(path) => match files::begin(&path).and_then(|()| self.open(&path)) {
                Ok(()) => {
                    (self.remember)(&path);
                    self.ui.layers.push(Layer::SiteForm(Box::new(SiteForm::of(&self.session))));
                }
                Err(error) => self.ask_again(&format!("{}: {}", short_path(&path), reason(&error))),
            },
            Effect::SetSite(site) => self.set_site(*site),
            Effect::Mouse(on) => guard::set_mouse(on),
            Effect::Suspend => self.suspend()?,
            Effect::Quit => {
                if self.keeper.may_leave(&mut self.session, &mut self.ui) {
                    self.farewell = self.keeper.words_of_rights();
                    return Ok(Next::Leave);
                }
            }
            Effect::SetAsideAndLeave => match self.keeper.set_aside(&self.session) {
                Ok(aside) => {
                    self.keeper.let_records_go();
                    let again = "V or `bedfellow versions` brings it back";
                    self.farewell = Some(format!("the garden as you left it is in {aside}; {again}"));
                    return Ok(Next::Leave);
                }
                Err(why) => {
                    let question = format!(
                        "not put aside: {why}. L leaves and loses what was edited since the last save; any other key goes back, where S saves under another name."
                    );
                    self.ui.layers.push(Layer::Confirm(Confirm { yes: Yes::QuitUnsaved, question }));
                }
            },
            Effect::QuitUnsaved => return Ok(Next::Leave),
        }
        Ok(Next::Stay)
    }

    /// After a failed start, goes back to the question it came from.
    fn ask_again(&mut self, why: &str) {
        if self.session.path.is_none() {
            self.ui.layers = vec![Layer::Welcome(Welcome)];
        }
        self.ui.view.complain(why);
    }

    fn open(&mut self, path: &Path) -> anyhow::Result<()> {
        let (session, lines) = self.keeper.open(path, self.session.today)?;
        self.session = session;
        let size = self.ui.view.size;
        self.ui = Ui::new(Week::of(self.session.today), self.ui.view.options);
        self.ui.view.size = size;
        show_page(&mut self.ui, lines);
        Ok(())
    }

    fn show_versions(&mut self) {
        match self.keeper.versions(&self.session) {
            Ok(versions) => self.ui.layers.push(Layer::Versions(Versions::new(versions))),
            Err(error) => self.ui.view.complain(reason(&error)),
        }
    }

    fn restore(&mut self, number: usize) {
        match self.keeper.restore(number, &mut self.session) {
            Ok(when) => {
                self.ui.layers.clear();
                self.ui.view.say(format!("back at the garden of {when}; V has the one you left"));
            }
            Err(error) => self.ui.view.complain(format!("not restored: {}", reason(&error))),
        }
    }

    fn bring_back(&mut self, aside: &Path) {
        match self.keeper.bring_back(aside, &mut self.session) {
            Ok(what) => {
                self.ui.layers.clear();
                self.ui.view.say(format!("{what}; V has the one you left"));
            }
            Err(error) => self.ui.view.complain(format!("not brought back: {}", reason(&error))),
        }
    }

    fn save_as(&mut self, path: &Path, may_overwrite: bool) {
        let shown = short_path(path);
        if self.session.path.as_ref().is_some_and(|ours| is_same_file(ours, path)) {
            match self.session.read_only_because() {
                Some(_) if self.session.keeping.held_by.is_none() => {
                    self.ui.view.complain("that is the garden's own file, which is read-only here; give another name");
                }
                Some(_) => self.ui.view.complain("that is the file the other program has open; give another name"),
                None => self.keeper.save(&mut self.session, &mut self.ui),
            }
            return;
        }
        let is_to_replace = match files::is_to_replace(path) {
            Ok(is_to_replace) => is_to_replace,
            Err(error) => {
                self.ui.view.complain(format!("not saved: {}", reason(&error)));
                return;
            }
        };
        if is_to_replace && !may_overwrite {
            let names = match crate::store::n_names(path) {
                0 | 1 => "",
                _ => " It is one of several names of the same file (hard links); the others keep what they hold.",
            };
            let question = format!(
                "{shown} is there already. O writes over it; what it held goes into its earlier versions.{names}"
            );
            let yes = Yes::SaveOver(path.to_owned());
            self.ui.layers.push(Layer::Confirm(Confirm { yes, question }));
            return;
        }
        match self.keeper.save_as(path, &mut self.session) {
            Ok(lines) => {
                (self.remember)(path);
                self.ui.layers.retain(|layer| !matches!(layer, Layer::Trouble(_)));
                self.ui.view.say(format!("saved as {shown}"));
                show_page(&mut self.ui, lines);
            }
            Err(error) => self.ui.view.complain(format!("not saved: {}", reason(&error))),
        }
    }

    fn write_list(&mut self, path: PathBuf, may_overwrite: bool) {
        let shown = short_path(&path);
        match files::write_list(&self.session, self.ui.view.options.is_ascii, &path, may_overwrite) {
            Ok(Some(not_kept)) if not_kept.is_any() => {
                self.ui.view.complain(format!("planting list written to {shown}; {not_kept}"));
            }
            Ok(Some(_)) => self.ui.view.say(format!("planting list written to {shown}")),
            Ok(None) => {
                let question = format!("{shown} is there already. O writes the list over it.");
                self.ui.layers.push(Layer::Confirm(Confirm { yes: Yes::ListOver(path), question }));
            }
            Err(error) => self.ui.view.complain(reason(&error)),
        }
    }

    fn suspend(&mut self) -> anyhow::Result<()> {
        guard::leave();
        guard::stop_process();
        self.enter_again()
    }

    /// Sets every mode again and redraws everything, whatever has happened to the terminal meanwhile.
    fn enter_again(&mut self) -> anyhow::Result<()> {
        guard::enter_again(self.ui.view.options.has_mouse).context("cannot set up the terminal again")?;
        let size = self.take_size()?;
        // Not `Terminal::clear`: it asks for the cursor's position, and the thread that reads keys would get the answer.
        let whole = Rect { x: 0, y: 0, width: size.width, height: size.height };
        self.terminal.resize(whole).context("cannot draw on the terminal")
    }
}

fn is_same_file(one: &Path, other: &Path) -> bool {
    one == other || matches!((one.canonicalize(), other.canonicalize()), (Ok(one), Ok(other)) if one == other)
}
