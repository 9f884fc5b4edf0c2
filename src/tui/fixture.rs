//! A small garden for tests of the Bed screen and of the layers that change plantings, and a hand that types.

use std::sync::Arc;

use chrono::NaiveDate;
use ratatui::Terminal;
use ratatui::backend::TestBackend;
use ratatui::buffer::Buffer;

use crate::crops::{CropBook, Raised};
use crate::garden::{Bed, BedKind, Cover, Garden, Layout, PlannedDates, Planting, PlantingId, Run, Side, SoilTexture};
use crate::season::Plan;
use crate::tui::keys::Key;
use crate::tui::session::Session;
use crate::tui::ui::Ui;
use crate::tui::update::{Input, update};
use crate::tui::view::{Options, Screen};
use crate::units::{Mm, Week};

pub fn day(text: &str) -> NaiveDate {
    text.parse().unwrap()
}

pub fn bed(id: &str, width_cm: i32, length_cm: i32) -> Bed {
    Bed {
        id: id.to_owned(),
        name: String::new(),
        width_mm: Mm::from_cm(width_cm),
        length_mm: Mm::from_cm(length_cm),
        east_mm: Mm::ZERO,
        south_mm: Mm::ZERO,
        bearing_deg: 0,
        kind: BedKind::Bed,
        cover: Cover::Open,
        soil: SoilTexture::Loam,
        renewed_yearly: false,
        notes: String::new(),
    }
}

fn planting(
    id: u32,
    bed: &str,
    crop: &str,
    strip_cm: (i32, i32),
    layout: Layout,
    raised: Raised,
    enters: &str,
) -> Planting {
    let (sow, plant) = if raised == Raised::InPlace { (Some(day(enters)), None) } else { (None, Some(day(enters))) };
    Planting {
        id: PlantingId(id),
        bed: bed.to_owned(),
        crop: crop.to_owned(),
        variety: String::new(),
        from_mm: Mm::from_cm(strip_cm.0),
        to_mm: Mm::from_cm(strip_cm.1),
        side: Side::Whole,
        layout,
        setback_mm: None,
        clump: 1,
        raised,
        planned: PlannedDates { sow, plant, ..PlannedDates::default() },
        notes: String::new(),
    }
}

/// Leeks in clumps with salad onions between them and a drill of carrots in B1, nothing in B2, a pot of garlic.
pub fn garden() -> Garden {
    let mut garden = Garden::empty("Small garden");
    let mut pot = bed("P1", 30, 30);
    pot.kind = BedKind::Container;
    pot.name = "pot by the door".to_owned();
    garden.beds = vec![bed("B1", 120, 480), bed("B2", 120, 240), pot].into();
    let mut leek =
        planting(1, "B1", "leek", (0, 240), Layout::Grid { spacing_mm: Mm(300) }, Raised::Module, "2027-06-07");
    leek.clump = 4;
    leek.variety = "winter".to_owned();
    let between = Layout::Between { host: PlantingId(1) };
    let mut onion = planting(2, "B1", "salad-onion", (0, 240), between, Raised::Module, "2027-06-07");
    onion.clump = 8;
    let drill = Layout::Drill { row_mm: Mm(300), plants_per_m: 60.0, run: Run::Along };
    let carrot = planting(3, "B1", "carrot-maincrop", (240, 480), drill, Raised::InPlace, "2027-05-10");
    let mut garlic =
        planting(4, "P1", "garlic", (0, 30), Layout::Grid { spacing_mm: Mm(150) }, Raised::Set, "2026-10-20");
    garlic.notes = "turn the pot now and then".to_owned();
    garden.plantings = vec![leek, onion, carrot, garlic];
    garden
}

/// A session on a garden, and a look at its first bed in the week of 12 July 2027.
pub fn look_at(garden: Garden, options: Options) -> (Session, Ui) {
    let book = Arc::new(CropBook::embedded().unwrap());
    let session = Session::new(Plan::new(garden, &book), None, day("2027-06-14"));
    let mut ui = Ui::new(Week::of(day("2027-07-12")), options);
    ui.view.screen = Screen::Bed;
    ui.view.select_standing(&session);
    (session, ui)
}

/// Types keys one after the other: single characters, or a key's name.
pub fn type_keys(session: &mut Session, ui: &mut Ui, keys: &[&str]) {
    for key in keys {
        let key = match *key {
            "Enter" => Key::Enter,
            "Esc" => Key::Esc,
            "Up" => Key::Up,
            "Down" => Key::Down,
            "Left" => Key::Left,
            "Right" => Key::Right,
            "Home" => Key::Home,
            "End" => Key::End,
            "Backspace" => Key::Backspace,
            "Clear" => Key::Ctrl('u'),
            letters => {
                for c in letters.chars() {
                    update(session, ui, &Input::Key(Key::Char(c)));
                }
                continue;
            }
        };
        update(session, ui, &Input::Key(key));
    }
}

/// The whole screen drawn at a size.
pub fn drawn(session: &Session, ui: &Ui, width: u16, height: u16) -> Buffer {
    let mut terminal = Terminal::new(TestBackend::new(width, height)).unwrap();
    terminal.draw(|frame| crate::tui::draw(frame, session, ui)).unwrap();
    terminal.backend().buffer().clone()
}

/// The whole screen as text.
pub fn text(session: &Session, ui: &Ui, width: u16, height: u16) -> String {
    let buffer = drawn(session, ui, width, height);
    let mut lines = Vec::new();
    for y in 0..height {
        let mut line = String::new();
        for x in 0..width {
            line.push_str(buffer[(x, y)].symbol());
        }
        lines.push(line.trim_end().to_owned());
    }
    lines.join("\n")
}
