//! The pictures of the README, drawn by the program: `BEDFELLOW_WRITE_SCREENS=1 cargo test --test screens` writes them.

use std::fmt::Write as _;
use std::path::Path;

use ratatui::buffer::{Buffer, Cell};
use ratatui::style::{Color, Modifier};

use crate::sitting::{COLOUR, Sitting};

/// The pictures, and the keys that lead to what they show of the demo.
const PICTURES: [(&str, &str); 6] = [
    ("ground", "gB3<Enter>"),
    ("bed", "gB3<Enter>2"),
    ("year", "gB3<Enter>3"),
    ("book", "4/leek<Enter>"),
    ("findings", "5"),
    ("placing", "gA1<Enter>aleek<Enter>"),
];

const SIZE: (u16, u16) = (110, 32);
/// Size of a cell in the picture; the line height is what box characters span in common monospace fonts.
const CELL: (u32, u32) = (9, 18);
const FONT_SIZE: u32 = 15;
const MARGIN: u32 = 10;
const GROUND: &str = "#1c1f24";
const INK: &str = "#d7dae0";

/// The sixteen colours of terminals, in shades of our own choice.
fn shade(colour: Color, otherwise: &'static str) -> &'static str {
    match colour {
        Color::Black => "#1c1f24",
        Color::Red => "#c4515a",
        Color::Green => "#7fa650",
        Color::Yellow => "#e0b050",
        Color::Blue => "#5c90d2",
        Color::Magenta => "#b779c4",
        Color::Cyan => "#4fb3bf",
        Color::Gray => "#b4bac4",
        Color::DarkGray => "#828a97",
        Color::LightRed => "#f07178",
        Color::LightGreen => "#a5cc78",
        Color::LightYellow => "#f2cf7e",
        Color::LightBlue => "#82b4f0",
        Color::LightMagenta => "#d5a0e0",
        Color::LightCyan => "#80d4dc",
        Color::White => "#ffffff",
        _ => otherwise,
    }
}

/// Ink and ground of a cell, as reversal leaves them.
fn colours(cell: &Cell) -> (&'static str, &'static str) {
    let (ink, ground) = (shade(cell.fg, INK), shade(cell.bg, GROUND));
    if cell.modifier.contains(Modifier::REVERSED) { (ground, ink) } else { (ink, ground) }
}

/// The buffer as SVG: one piece of text for each run of cells of one style, held to its cells by its length.
fn svg(buffer: &Buffer, title: &str) -> String {
    let (n_columns, n_rows) = (u32::from(buffer.area.width), u32::from(buffer.area.height));
    let (width, height) = (n_columns * CELL.0 + 2 * MARGIN, n_rows * CELL.1 + 2 * MARGIN);
    let mut svg = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{width}\" height=\"{height}\" \
         viewBox=\"0 0 {width} {height}\" font-family=\"DejaVu Sans Mono, Menlo, Consolas, monospace\" \
         font-size=\"{FONT_SIZE}\" xml:space=\"preserve\">\n<title>{title}</title>\n\
         <rect width=\"100%\" height=\"100%\" rx=\"6\" fill=\"{GROUND}\"/>\n"
    );
    for y in 0..buffer.area.height {
        let mut x = 0;
        while x < buffer.area.width {
            let first = &buffer[(x, y)];
            let mut words = String::new();
            let mut end = x;
            while end < buffer.area.width && buffer[(end, y)].style() == first.style() {
                words.push_str(buffer[(end, y)].symbol());
                end += 1;
            }
            run(&mut svg, (x, end), y, first, &words);
            x = end;
        }
    }
    svg.push_str("</svg>\n");
    svg
}

fn run(svg: &mut String, (from, to): (u16, u16), row: u16, cell: &Cell, words: &str) {
    let (ink, ground) = colours(cell);
    let (left, top) = (u32::from(from) * CELL.0 + MARGIN, u32::from(row) * CELL.1 + MARGIN);
    let width = u32::from(to - from) * CELL.0;
    if ground != GROUND {
        let _ =
            writeln!(svg, "<rect x=\"{left}\" y=\"{top}\" width=\"{width}\" height=\"{}\" fill=\"{ground}\"/>", CELL.1);
    }
    if words.trim().is_empty() {
        return;
    }
    let mut look = String::new();
    for (modifier, attribute) in [
        (Modifier::BOLD, " font-weight=\"bold\""),
        (Modifier::UNDERLINED, " text-decoration=\"underline\""),
        (Modifier::DIM, " opacity=\"0.7\""),
    ] {
        if cell.modifier.contains(modifier) {
            look.push_str(attribute);
        }
    }
    let text = words.replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;");
    let baseline = top + CELL.1 * 3 / 4;
    let _ = writeln!(
        svg,
        "<text x=\"{left}\" y=\"{baseline}\" textLength=\"{width}\" lengthAdjust=\"spacingAndGlyphs\" \
         fill=\"{ink}\"{look}>{text}</text>"
    );
}

#[test]
fn the_pictures_of_the_readme_are_what_the_program_draws() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("assets/screens");
    let mut stale = Vec::new();
    for (name, keys) in PICTURES {
        let mut sitting = Sitting::at_demo(COLOUR, SIZE);
        sitting.keys(keys);
        let picture = svg(&sitting.buffer(SIZE), &format!("bedfellow: {name}"));
        let path = folder.join(format!("{name}.svg"));
        if std::env::var_os("BEDFELLOW_WRITE_SCREENS").is_some() {
            std::fs::create_dir_all(&folder).unwrap();
            std::fs::write(&path, &picture).unwrap();
        } else if std::fs::read_to_string(&path).ok().as_ref() != Some(&picture) {
            stale.push(name);
        }
    }
    assert!(stale.is_empty(), "draw {stale:?} again: BEDFELLOW_WRITE_SCREENS=1 cargo test --test screens");
}
