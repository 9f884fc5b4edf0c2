//! A sitting without a terminal: keys go to `update`, frames come from `draw`.

use std::path::PathBuf;
use std::sync::{Arc, LazyLock};

use bedfellow::crops::CropBook;
use bedfellow::garden::Garden;
use bedfellow::season::Plan;
use bedfellow::tui::keys::Key;
use bedfellow::tui::layers::Layer;
use bedfellow::tui::layers::confirm::{Confirm, Yes};
use bedfellow::tui::layers::welcome::Welcome;
use bedfellow::tui::{Input, Options, Session, View, draw, update};
use bedfellow::units::Week;
use chrono::NaiveDate;
use ratatui::Terminal;
use ratatui::backend::TestBackend;
use ratatui::buffer::Buffer;

const DEMO: &str = include_str!("../../demo/walled-garden.ron");

static BOOK: LazyLock<Arc<CropBook>> = LazyLock::new(|| Arc::new(CropBook::embedded().unwrap()));

pub const COLOUR: Options = Options { is_ascii: false, has_colour: true, has_mouse: false };
pub const ASCII: Options = Options { is_ascii: true, has_colour: false, has_mouse: false };
pub const NO_COLOUR: Options = Options { is_ascii: false, has_colour: false, has_mouse: false };

/// The crop book.
pub fn book() -> &'static CropBook {
    &BOOK
}

pub struct Sitting {
    pub session: Session,
    pub view: View,
}

impl Sitting {
    /// At the demo garden on Monday 14 June 2027.
    pub fn at_demo(options: Options, size: (u16, u16)) -> Self {
        Self::at(Garden::from_ron(DEMO, "demo/walled-garden.ron").unwrap(), options, size)
    }

    /// At a garden that has nothing in it.
    pub fn at_nothing(options: Options, size: (u16, u16)) -> Self {
        Self::at(Garden::empty("nothing yet"), options, size)
    }

    /// At that garden on the same day.
    pub fn at(garden: Garden, options: Options, size: (u16, u16)) -> Self {
        let today = NaiveDate::from_ymd_opt(2027, 6, 14).unwrap();
        let session = Session::new(Plan::new(garden, &BOOK), Some(PathBuf::from("walled-garden.ron")), today);
        let mut sitting = Self { session, view: View::new(Week::of(today), options) };
        sitting.input(&Input::Resize(size.0, size.1));
        sitting
    }

    /// Takes an input.
    pub fn input(&mut self, input: &Input) {
        // What the shell would do with files and terminal does not show on these screens.
        let _effects = update(&mut self.session, &mut self.view, input);
    }

    /// Types: each character is a key, and `<Enter>`, `<Esc>`, `<Tab>`, `<Up>`, `<Down>` are those keys.
    pub fn keys(&mut self, keys: &str) {
        let mut rest = keys;
        while let Some(first) = rest.chars().next() {
            let named = [
                ("<Enter>", Key::Enter),
                ("<Esc>", Key::Esc),
                ("<Tab>", Key::Tab),
                ("<Up>", Key::Up),
                ("<Down>", Key::Down),
                ("<End>", Key::End),
            ];
            let (key, n_bytes) = named
                .iter()
                .find(|(name, _)| rest.starts_with(name))
                .map_or((Key::Char(first), first.len_utf8()), |(name, key)| (*key, name.len()));
            self.input(&Input::Key(key));
            rest = &rest[n_bytes..];
        }
    }

    /// What the shell opens on a first run.
    pub fn is_asked_first(&mut self) {
        self.view.layers.push(Layer::Welcome(Welcome));
    }

    /// What the shell opens when the garden cannot be saved.
    pub fn is_asked_before_losing(&mut self) {
        let question = "not saved: cannot write shed/garden.ron: the folder shed is not there. L leaves and loses what was edited since the last save; any other key goes back, where S saves under another name.";
        self.view.layers.push(Layer::Confirm(Confirm {
            yes: Yes::QuitUnsaved,
            yes_key: 'L',
            question: question.to_owned(),
        }));
    }

    /// The frame.
    pub fn frame(&self, size: (u16, u16)) -> Terminal<TestBackend> {
        let mut terminal = Terminal::new(TestBackend::new(size.0, size.1)).unwrap();
        terminal.draw(|frame| draw(frame, &self.session, &self.view)).unwrap();
        terminal
    }

    pub fn buffer(&self, size: (u16, u16)) -> Buffer {
        self.frame(size).backend().buffer().clone()
    }
}
