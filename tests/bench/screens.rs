//! From a key to the finished frame, drawn on a backend that keeps the cells and sends nothing.

use std::sync::Arc;

use bedfellow::crops::CropBook;
use bedfellow::season::Plan;
use bedfellow::tui::keys::Key;
use bedfellow::tui::{Input, Options, Screen, Session, Ui, draw, update};
use bedfellow::units::Week;
use chrono::NaiveDate;
use divan::Bencher;
use ratatui::Terminal;
use ratatui::backend::TestBackend;

use super::{BOOK, demo, generated};

/// Columns and rows: the least that must be fully usable, and a wide terminal.
const SIZES: [(u16, u16); 2] = [(80, 24), (200, 60)];

const LARGE: (i32, i32) = (1000, 10);

const SCREENS: [Screen; 5] = [Screen::Ground, Screen::Bed, Screen::Year, Screen::Book, Screen::Findings];

struct Desk {
    session: Session,
    ui: Ui,
    terminal: Terminal<TestBackend>,
}

impl Desk {
    fn of(plan: Plan, screen: Screen, size: (u16, u16)) -> Self {
        let today = NaiveDate::from_ymd_opt(2027, 6, 14).expect("a day");
        let session = Session::new(plan, None, today);
        let mut ui = Ui::new(Week::of(today), Options::default());
        ui.view.size = size;
        ui.view.show(screen);
        let terminal = Terminal::new(TestBackend::new(size.0, size.1)).expect("a backend in memory");
        Self { session, ui, terminal }
    }

    fn frame(&mut self) {
        self.terminal.draw(|frame| draw(frame, &self.session, &self.ui)).expect("a frame in memory");
    }

    fn press(&mut self, key: Key) {
        update(&mut self.session, &mut self.ui, &Input::Key(key));
        self.frame();
    }

    /// One week on and back by turns, a frame after each.
    fn step_weeks(mut self, bencher: Bencher) {
        self.frame();
        let mut is_on = false;
        bencher.bench_local(move || {
            is_on = !is_on;
            self.press(Key::Char(if is_on { ']' } else { '[' }));
        });
    }
}

fn cases() -> impl Iterator<Item = String> {
    SCREENS.iter().flat_map(|screen| SIZES.iter().map(move |(columns, rows)| format!("{screen:?} {columns}x{rows}")))
}

fn case(named: &str) -> (Screen, (u16, u16)) {
    let place = cases().position(|name| name == named).expect("a case of the list");
    (SCREENS[place / SIZES.len()], SIZES[place % SIZES.len()])
}

/// What passes between the start of the program and the first frame, the terminal apart.
#[divan::bench(args = SIZES)]
fn first_frame_of_the_demo(size: (u16, u16)) {
    let book = Arc::new(CropBook::embedded().expect("the book loads"));
    Desk::of(Plan::new(demo(), &book), Screen::Ground, size).frame();
}

#[divan::bench(args = cases())]
fn key_to_frame_of_the_demo(bencher: Bencher, named: &str) {
    let (screen, size) = case(named);
    Desk::of(Plan::new(demo(), &BOOK), screen, size).step_weeks(bencher);
}

#[divan::bench(args = cases(), sample_count = 20)]
fn key_to_frame_of_a_large_garden(bencher: Bencher, named: &str) {
    let (screen, size) = case(named);
    Desk::of(Plan::new(generated(LARGE), &BOOK), screen, size).step_weeks(bencher);
}

/// Fifty weeks held down and one frame after them, as the shell does with a queue of keys.
#[divan::bench]
fn fifty_held_keys_and_their_frame(bencher: Bencher) {
    let mut desk = Desk::of(Plan::new(demo(), &BOOK), Screen::Year, (80, 24));
    desk.frame();
    let mut is_on = false;
    bencher.bench_local(move || {
        is_on = !is_on;
        let key = Key::Char(if is_on { ']' } else { '[' });
        for _ in 0..50 {
            update(&mut desk.session, &mut desk.ui, &Input::Key(key));
        }
        desk.frame();
    });
}
