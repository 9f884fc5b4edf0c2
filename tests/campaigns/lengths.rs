//! A garden whose state can be read off the screen and out of the file: the length of one strip, ten centimetres a key.

use std::path::{Path, PathBuf};
use std::time::Duration;

use bedfellow::garden::Garden;
use bedfellow::units::Mm;

use crate::terminal::{Output, Terminal};

/// A bed of a hundred metres, half of it planted.
pub const LONG_BED: &str = r#"(
    format: 2,
    name: "Long bed",
    site: (
        latitude_deg: 54.0,
        elevation_m: 200,
        last_frost: (month: 5, day: 20),
        first_frost: (month: 10, day: 1),
        currency: "GBP",
    ),
    beds: [
        (id: "A1", width_mm: 300, length_mm: 100000),
    ],
    plantings: [
        (id: 1, bed: "A1", crop: "leek", from_mm: 0, to_mm: 50000, layout: Grid(spacing_mm: 300), clump: 1, raised: Module, planned: (plant: "2027-04-12")),
    ],
)
"#;

/// What one key adds or takes away, in cm.
pub const STEP_CM: i64 = 10;

/// Size of the terminal in which it is read.
pub const SIZE: (u16, u16) = (100, 30);

/// The strip's length as the last whole frame shows it.
pub fn shown_cm(output: &Output) -> Option<i64> {
    let text = output.text();
    let (_, after) = text.split_once("Leek 0–")?;
    after.split(|sign: char| !sign.is_ascii_digit()).next()?.parse().ok()
}

/// The strip's length in a garden file.
pub fn saved_cm(path: &Path) -> i64 {
    let text = std::fs::read_to_string(path).unwrap();
    let garden = Garden::from_ron(&text, "garden.ron").unwrap_or_else(|error| panic!("{error}"));
    let Mm(to_mm) = garden.plantings[0].to_mm;
    i64::from(to_mm / 10)
}

/// Whether a notice is in front that Enter closes.
fn has_notice(output: &Output) -> bool {
    ["came back", "is open elsewhere:", "not made again", "The garden is yours", "Before you go on"]
        .iter()
        .any(|words| output.text().contains(words))
}

/// Opens the garden and goes to its bed with the planting selected; the length it shows.
pub fn open(home: &Path, path: &Path) -> (Terminal, i64) {
    let mut terminal = Terminal::open(home, &[path.to_str().unwrap()], SIZE, true);
    let length = go_to_bed(&mut terminal);
    (terminal, length)
}

/// From a first frame, with or without notices in front, to the bed.
pub fn go_to_bed(terminal: &mut Terminal) -> i64 {
    // Or on the bed already, where something was brought back before.
    let is_open = |output: &Output| output.text().contains("▸A1") || has_notice(output) || shown_cm(output).is_some();
    terminal.must("the garden is open", is_open);
    while has_notice(&terminal.output()) {
        terminal.keys(b"\r");
        terminal.waits(Duration::from_millis(500), |output| !has_notice(output));
    }
    terminal.keys(b"2");
    terminal.must("the bed with its planting", |output| shown_cm(output).is_some());
    terminal.keys(b"\t");
    terminal.must("the planting is selected", |output| output.text().contains("▸ a"));
    shown_cm(&terminal.output()).unwrap()
}

/// What was put aside beside a garden file; nothing ever should be.
pub fn aside(path: &Path) -> Vec<PathBuf> {
    let name = path.file_name().unwrap().to_string_lossy();
    let folder = path.with_file_name(format!(".{name}.kept")).join("aside");
    std::fs::read_dir(folder).map(|entries| entries.map(|entry| entry.unwrap().path()).collect()).unwrap_or_default()
}
