//! Long texts into every field, pasted and typed. A field takes what its limit allows, says that it was cut, and the program
//! goes on answering.

use std::time::{Duration, Instant};

use crate::size;
use crate::terminal::Terminal;

const DEMO: &str = include_str!("../../demo/walled-garden.ron");

const SIZE: (u16, u16) = (120, 40);

/// A field: keys that lead to it one after the other, each with what is shown then; and the most characters it takes.
struct Field {
    name: &'static str,
    way: &'static [(&'static str, &'static str)],
    most: usize,
}

const fn field(name: &'static str, way: &'static [(&'static str, &'static str)], most: usize) -> Field {
    Field { name, way, most }
}

const UP: &str = "\x1b[A";
const DOWN: &str = "\x1b[B";
const CTRL_U: &str = "\x15";

const FIELDS: [Field; 18] = [
    field("finder", &[(":", "Find a command")], 200),
    field("crop picker", &[("a", "Place a crop")], 200),
    field("what could follow", &[("n", "What could follow")], 200),
    field("save as", &[("S", "Save as"), (CTRL_U, "Save as")], 4_096),
    field("list path", &[("p", "Write the planting list to"), (CTRL_U, "Write the planting list to")], 4_096),
    field("bed", &[("g", "Go to bed")], 200),
    field("return years", &[("R", "Return interval"), ("\r", "Years from one crop")], 16),
    field("bed id", &[("N", "New bed"), (CTRL_U, "New bed")], 40),
    field("bed name", &[("N", "New bed"), (DOWN, "New bed")], 200),
    field("bed width", &[("N", "New bed"), ("\x1b[B\x1b[B", "New bed")], 16),
    field("bed notes", &[("N", "New bed"), (UP, "New bed")], 2_000),
    field("variety", &[("a", "Place a crop"), ("leek", "leek"), ("\r", "Place Leek"), (UP, "Place Leek")], 200),
    field("strip", &[("a", "Place a crop"), ("leek", "leek"), ("\r", "Place Leek")], 16),
    field(
        "notes",
        &[("a", "Place a crop"), ("leek", "leek"), ("\r", "Place Leek"), ("\x1b[A\x1b[A\x1b[A", "Place Leek")],
        2_000,
    ),
    field("latitude", &[("L", "Place and climate")], 16),
    field("currency", &[("L", "Place and climate"), ("\x1b[B\x1b[B\x1b[B\x1b[B\x1b[B", "Place and climate")], 200),
    field("past crop", &[("y", "Past crops of")], 200),
    field("past year", &[("y", "Past crops of"), (UP, "Past crops of")], 16),
];

/// Those of other screens.
const ELSEWHERE: [Field; 3] = [
    field("narrowing the book", &[("4", "Crop book"), ("/", "Search")], 200),
    field("narrowing findings", &[("5", "Findings"), ("/", "Search")], 200),
    field("reason", &[("5", "Findings"), ("A", "Accept \"")], 2_000),
];

/// Letters, and digits for fields that take nothing else; one of these at the end, for the last key has the last word.
fn text(n_bytes: usize) -> String {
    "1leek 2 ".chars().cycle().take(n_bytes - 1).chain(['2']).collect()
}

/// Puts a text into a field, and leaves the field again; how long the program took for it.
fn put_in(terminal: &mut Terminal, field: &Field, text: &str, is_pasted: bool) -> Duration {
    let Field { name, way, most } = field;
    for (keys, shows) in *way {
        terminal.keys(keys.as_bytes());
        terminal.must(&format!("{name}: {shows}"), |output| output.text().contains(shows));
    }
    let bytes = if is_pasted { format!("\x1b[200~{text}\x1b[201~") } else { text.to_owned() };
    let (way, words) = if is_pasted {
        ("pasted", format!("cut to {most} characters"))
    } else {
        ("typed", format!("no more than {most} characters"))
    };
    let from = Instant::now();
    assert!(terminal.burst(bytes.as_bytes(), None), "{name}, {way}: not all is read");
    terminal.must(&format!("{name}, {way}: {words}"), |output| output.text().contains(&words));
    // The next key is answered, and says nothing of the limit.
    terminal.keys(b"\x7f");
    terminal.must(&format!("{name}, {way}: answers"), |output| !output.text().contains(&words));
    let took = from.elapsed();
    let shows = field.way.last().unwrap().1;
    for _ in 0..4 {
        if !terminal.output().text().contains(shows) {
            break;
        }
        terminal.keys(b"\x1b");
        terminal.waits(Duration::from_millis(300), |output| !output.text().contains(shows));
    }
    terminal.keys(b"1");
    terminal.must(&format!("{name}: back on Ground"), |output| output.text().contains("▸A1"));
    took
}

#[test]
fn every_field_takes_what_its_limit_allows_of_a_long_text_and_says_so() {
    let (n_bytes, longest) =
        if size::is_long() { (1_000_000, Duration::from_secs(1)) } else { (60_000, Duration::from_secs(5)) };
    let home = tempfile::tempdir().unwrap();
    std::fs::write(home.path().join("garden.ron"), DEMO).unwrap();
    let mut terminal = Terminal::open(home.path(), &["garden.ron"], SIZE, true);
    terminal.must("the garden is open", |output| output.text().contains("▸A1"));
    let text = text(n_bytes);
    let mut slowest = (Duration::ZERO, "");
    for field in FIELDS.iter().chain(&ELSEWHERE) {
        for is_pasted in [true, false] {
            let took = put_in(&mut terminal, field, &text, is_pasted);
            assert!(took < longest, "{}: {took:?} for {n_bytes} bytes, pasted {is_pasted}", field.name);
            slowest = slowest.max((took, field.name));
        }
    }
    terminal.keys(b"q");
    terminal.ends();
    assert_eq!(terminal.ending().code, 0);
    let saved = std::fs::read_to_string(home.path().join("garden.ron")).unwrap();
    assert_eq!(saved, DEMO, "nothing that was typed into a form that was left is kept");
    size::say(&format!(
        "pastes: {n_bytes} bytes into {} fields, pasted and typed, slowest {} ms ({})",
        FIELDS.len() + ELSEWHERE.len(),
        slowest.0.as_millis(),
        slowest.1
    ));
}
