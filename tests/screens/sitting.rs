//! A sitting without a terminal: keys go to `update`, frames come from `draw`.

use std::path::PathBuf;
use std::sync::{Arc, LazyLock};

use bedfellow::crops::CropBook;
use bedfellow::garden::{Differences, Garden, Planting};
use bedfellow::season::Plan;
use bedfellow::tui::keys::Key;
use bedfellow::tui::layers::Layer;
use bedfellow::tui::layers::confirm::{Confirm, Yes};
use bedfellow::tui::layers::notices::{self, Notices};
use bedfellow::tui::layers::trouble::{Found, Leaving, Trouble};
use bedfellow::tui::layers::versions::{Holds, Source, Version, Versions};
use bedfellow::tui::layers::welcome::Welcome;
use bedfellow::tui::session::{HeldBy, Rest};
use bedfellow::tui::{Input, Options, Session, Ui, draw, update};
use bedfellow::units::Week;
use chrono::NaiveDate;
use ratatui::Terminal;
use ratatui::backend::TestBackend;
use ratatui::buffer::Buffer;

const DEMO: &str = include_str!("../../demo/walled-garden.ron");
pub const GIVEN: &str = include_str!("given.ron");

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
    pub ui: Ui,
}

impl Sitting {
    /// At the demo garden on Monday 14 June 2027.
    pub fn at_demo(options: Options, size: (u16, u16)) -> Self {
        Self::at(Garden::from_ron(DEMO, "demo/walled-garden.ron").unwrap(), options, size)
    }

    /// At the garden in which every date is given, on the same day.
    pub fn at_given(options: Options, size: (u16, u16)) -> Self {
        Self::at(Garden::from_ron(GIVEN, "tests/screens/given.ron").unwrap(), options, size)
    }

    /// At a garden that has nothing in it.
    pub fn at_nothing(options: Options, size: (u16, u16)) -> Self {
        Self::at(Garden::empty("nothing yet"), options, size)
    }

    /// At that garden on the same day.
    pub fn at(garden: Garden, options: Options, size: (u16, u16)) -> Self {
        let today = NaiveDate::from_ymd_opt(2027, 6, 14).unwrap();
        let session = Session::new(Plan::new(garden, &BOOK), Some(PathBuf::from("walled-garden.ron")), today);
        let mut sitting = Self { session, ui: Ui::new(Week::of(today), options) };
        sitting.input(&Input::Resize(size.0, size.1));
        sitting
    }

    pub fn key(&mut self, key: Key) {
        self.input(&Input::Key(key));
    }

    /// Takes an input.
    pub fn input(&mut self, input: &Input) {
        // What the shell would do with files and terminal does not show on these screens.
        let _effects = update(&mut self.session, &mut self.ui, input);
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
        self.ui.layers.push(Layer::Welcome(Welcome));
    }

    /// What the shell opens when the garden cannot be saved.
    pub fn is_asked_before_losing(&mut self) {
        let question = "not saved: cannot write shed/garden.ron: the folder shed is not there. L leaves and loses what was edited since the last save; any other key goes back, where S saves under another name.";
        self.ui.layers.push(Layer::Confirm(Confirm { yes: Yes::QuitUnsaved, question: question.to_owned() }));
    }

    /// What the shell opens when the journal held edits that the file lacks.
    pub fn is_told_what_came_back(&mut self) {
        let titles = ["place leek in A1", "move carrot in B2 a week later", "taken back: remove pea from C1"];
        let mut lines = notices::came_back(&titles.map(str::to_owned));
        lines.extend(notices::unguarded("the file system knows no locks"));
        self.ui.layers.push(Layer::Notices(Notices::new("Before you go on", lines)));
    }

    /// What the shell opens when another program has the garden open.
    pub fn is_open_elsewhere(&mut self) {
        let held = HeldBy {
            who: "process 4711 on bothy since 2027-06-14 08:15 UTC".to_owned(),
            reason: "the garden is open elsewhere".to_owned(),
            has_gone: false,
        };
        let lines = notices::open_elsewhere(&held);
        self.session.keeping.held_by = Some(held);
        self.ui.layers.push(Layer::Notices(Notices::new("Before you go on", lines)));
    }

    /// The demo before a few edits.
    fn earlier(&self) -> Garden {
        let mut earlier = self.session.plan().garden().clone();
        let Some(first) = earlier.plantings.first().cloned() else { return earlier };
        let mut plantings = earlier.plantings.clone();
        plantings[0] = Planting { clump: first.clump + 1, notes: "as it was".to_owned(), ..first };
        plantings.pop();
        earlier.plantings = plantings;
        earlier.past.pop();
        earlier.name = "Walled garden, as it was".to_owned();
        earlier
    }

    fn is_in_trouble(&mut self, found: Found, rest: Rest) {
        self.session.keeping.rests = Some(rest);
        let path = PathBuf::from("plots/walled-garden.ron");
        self.ui.layers.push(Layer::Trouble(Trouble::new(found, &path, Leaving::Aside)));
    }

    /// What the shell opens when something else has written the file.
    pub fn file_has_changed(&mut self) {
        let (base, mine) = (self.earlier(), self.session.plan().garden());
        let mut theirs = base.clone();
        if !theirs.plantings.is_empty() {
            theirs.plantings.remove(0);
        }
        if let Some(bed) = theirs.beds.last_mut() {
            bed.notes = "stony".to_owned();
        }
        let found = Differences::between(&base, mine, &theirs);
        let lines = notices::differences(self.session.plan(), &found, Some(("mine", "theirs")));
        self.is_in_trouble(Found::Changed(lines), Rest::Changed);
    }

    /// What the shell opens when the file is not there any more.
    pub fn file_is_gone(&mut self) {
        self.is_in_trouble(Found::Gone, Rest::Gone);
    }

    /// What the shell opens when what stands in the file's place cannot be read.
    pub fn file_is_unreadable(&mut self) {
        let why = "walled-garden.ron is not text in UTF-8 (byte 12)".to_owned();
        self.is_in_trouble(Found::Unreadable(why), Rest::Unreadable);
    }

    /// What the shell opens when the file has other names.
    pub fn file_has_other_names(&mut self) {
        self.session.keeping.rests = Some(Rest::Linked);
        let path = PathBuf::from("plots/walled-garden.ron");
        self.ui.layers.push(Layer::Trouble(Trouble::new(Found::Linked(2), &path, Leaving::Waits)));
    }

    /// What the shell opens when the file may only be looked at.
    pub fn is_only_looked_at(&mut self) {
        let why = "you may not write the file";
        self.session.keeping.barred = Some(format!("{why}; S saves it under another name"));
        self.ui.layers.push(Layer::Notices(Notices::new("Before you go on", notices::barred(why))));
    }

    /// What the shell opens for the command of earlier versions.
    pub fn sees_versions(&mut self) {
        let now = self.session.plan().garden();
        let version = |number, when: &str, garden: &Garden| Version {
            source: Source::Saved(number),
            when: when.to_owned(),
            is_yet_to_come: false,
            n_bytes: garden.to_ron().len() as u64,
            holds: Ok(Holds {
                n_beds: garden.beds.len(),
                n_plantings: garden.plantings.len(),
                differs: notices::differences(self.session.plan(), &Differences::from_to(garden, now), None),
                is_now: garden == now,
            }),
        };
        let broken = Err("error: the file is empty".to_owned());
        let versions = vec![
            version(1, "2027-06-14 08:15 UTC", now),
            version(2, "2027-06-13 19:02 UTC", &self.earlier()),
            Version {
                source: Source::Saved(3),
                when: "2027-06-11 20:40 UTC".to_owned(),
                is_yet_to_come: false,
                n_bytes: 0,
                holds: broken,
            },
            Version {
                source: Source::Aside {
                    what: "edits that did not fit the file: 2 edits".to_owned(),
                    path: PathBuf::from("plots/.walled-garden.ron.kept/aside/20270612T071500Z-of-other-contents"),
                },
                ..version(0, "2027-06-12 07:15 UTC", &self.earlier())
            },
        ];
        self.ui.layers.push(Layer::Versions(Versions::new(versions)));
    }

    /// The frame.
    pub fn frame(&self, size: (u16, u16)) -> Terminal<TestBackend> {
        let mut terminal = Terminal::new(TestBackend::new(size.0, size.1)).unwrap();
        terminal.draw(|frame| draw(frame, &self.session, &self.ui)).unwrap();
        terminal
    }

    pub fn buffer(&self, size: (u16, u16)) -> Buffer {
        self.frame(size).backend().buffer().clone()
    }

    /// The lines of the frame.
    pub fn text(&self, size: (u16, u16)) -> String {
        lines(&self.buffer(size)).join("\n")
    }

    /// The lines of the frame as a snapshot keeps them, each between quotation marks. What the program proposes for a bed is left
    /// out: its days are those of growth.
    pub fn picture(&self, size: (u16, u16)) -> String {
        let mut buffer = self.buffer(size);
        for heading in ["Could follow (n", "Could go in (n"] {
            let found = lines(&buffer).iter().enumerate().find_map(|(y, line)| {
                let place = line.find(heading)?;
                Some((line[..place].chars().count(), y + 1))
            });
            let Some((x, below)) = found else { continue };
            for y in below..usize::from(size.1) - 1 {
                for x in x..usize::from(size.0) {
                    let cell = &mut buffer[(x as u16, y as u16)];
                    if cell.symbol() == "│" {
                        break;
                    }
                    cell.set_symbol(" ");
                }
            }
        }
        lines(&buffer).iter().fold(String::new(), |picture, line| picture + "\"" + line + "\"\n")
    }
}

fn lines(buffer: &Buffer) -> Vec<String> {
    let width = usize::from(buffer.area.width).max(1);
    buffer.content().chunks(width).map(|row| row.iter().map(ratatui::buffer::Cell::symbol).collect()).collect()
}
