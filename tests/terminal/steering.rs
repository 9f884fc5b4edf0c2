//! What comes from outside never steers the terminal; a file of a newer format is not opened.

use std::collections::BTreeSet;

use crate::sitting::{CTRL_U, ENTER, ESC, Start, THREE_BEDS};

/// A title, a report, an eight-bit report, a string, a bell: nothing that the program itself ever sends.
const STEERING: &str = "\u{1b}]0;owned\u{7}\u{1b}[5n\u{9b}5n\u{90}q\u{9c}\u{1b}c";

/// Kinds of escape sequences in what came out: their first letters, a private mark, and the last letter.
fn kinds(raw: &[u8]) -> BTreeSet<String> {
    let text = String::from_utf8_lossy(raw);
    let mut kinds = BTreeSet::new();
    for from in text.split('\u{1b}').skip(1) {
        let Some(body) = from.strip_prefix('[') else {
            kinds.insert(from.chars().take(1).collect());
            continue;
        };
        let end = body.find(|c: char| ('@'..='~').contains(&c)).map_or(body.len(), |at| at + 1);
        kinds.insert(body[..end].replace(|c: char| c.is_ascii_digit() || c == ';', ""));
    }
    kinds
}

/// Opens the garden, looks at every screen, writes the list, saves under another name, leaves; everything that came out.
fn sitting_of(start: Start, shows: &str) -> Vec<u8> {
    let mut sitting = start.open();
    sitting.sees("▸");
    for screen in ["2", "3", "4", "5", "1"] {
        sitting.keys(screen);
    }
    sitting.types("p", "Write the planting list to");
    sitting.types(ENTER, "planting list written to");
    sitting.types("p", "Write the planting list to");
    sitting.types(ENTER, "is there already");
    sitting.keys(ESC);
    sitting.sees_no_more("Sure?");
    sitting.types("S", "Save as");
    sitting.sees(shows);
    // Pasted, as a terminal with bracketed paste sends it.
    sitting.keys(&format!("{CTRL_U}\u{1b}[200~pasted\u{202e}\u{200b}\u{7f}.ron\u{1b}[201~"));
    sitting.sees("pasted");
    sitting.types(ENTER, "saved as");
    sitting.keys("q");
    let (code, raw) = sitting.ends();
    assert_eq!(code, 0);
    raw
}

#[test]
fn a_file_and_a_folder_whose_names_would_steer_are_shown_harmless() {
    let start = Start::new();
    std::fs::write(start.folder("plain").join("garden.ron"), THREE_BEDS).unwrap();
    let plain = sitting_of(start.argument("plain/garden.ron"), "garden.ron");

    let unseen = "\u{200b}\u{200e}\u{ad}\u{e0041}";
    let garden =
        THREE_BEDS.replace("Three beds", &format!("Three{unseen}beds")).replace("\"A1\"", &format!("\"A1{unseen}\""));
    let start = Start::new();
    std::fs::write(start.folder(STEERING).join(format!("garden{STEERING}.ron")), garden).unwrap();
    let raw = sitting_of(start.argument(&format!("{STEERING}/garden{STEERING}.ron")), "␛]0;owned␇");

    let text = String::from_utf8(raw.clone()).unwrap();
    assert!(!text.contains("\u{1b}]") && !text.contains(['\u{7}', '\u{9b}', '\u{90}', '\u{9c}', '\u{202e}']));
    assert!(!text.contains(|c: char| unseen.contains(c)), "what nobody sees is not sent");
    let beyond: Vec<_> = kinds(&raw).difference(&kinds(&plain)).cloned().collect();
    assert!(beyond.is_empty(), "sequences that a plain garden never needs: {beyond:?}");
}

#[test]
fn a_garden_with_steering_names_is_refused_in_plain_words() {
    for name in [STEERING, "\\u{1b}]0;owned\\u{7}", "turned\u{202e}round"] {
        let garden = THREE_BEDS.replace("Three beds", name);
        let mut sitting = Start::on_garden(&garden).open();
        let (code, raw) = sitting.ends();
        assert_eq!(code, 2);
        let text = String::from_utf8(raw).unwrap();
        assert!(text.contains("control character") || text.contains("not text"), "{text:?}");
        let bad = text.chars().find(|c| !"\r\n".contains(*c) && bedfellow::units::text::is_unshowable(*c));
        assert!(bad.is_none(), "{bad:?} in {text:?}");
        assert_eq!(std::fs::read_to_string(sitting.path("garden.ron")).unwrap(), garden);
    }
}

#[test]
fn a_file_of_a_newer_format_is_not_opened_and_stays_byte_for_byte() {
    for format in ["3", "0x3", "77"] {
        // Fields that this program cannot know.
        let garden = THREE_BEDS.replace("format: 2", &format!("format: {format}, moon: Waxing")).replace('\n', "\r\n");
        let mut sitting = Start::on_garden(&garden).open();
        let (code, raw) = sitting.ends();
        let text = String::from_utf8(raw).unwrap();
        assert!(code == 2 && text.contains("newer bedfellow") && text.contains("left untouched"), "{code}: {text}");
        assert!(!text.contains('\u{1b}'), "no screen was set up: {text:?}");
        assert_eq!(std::fs::read(sitting.path("garden.ron")).unwrap(), garden.as_bytes());
        assert!(!sitting.path("last-garden").exists(), "it is not remembered");
        let others: Vec<_> =
            std::fs::read_dir(sitting.home()).unwrap().map(|entry| entry.unwrap().file_name()).collect();
        assert_eq!(others, ["garden.ron"], "nothing is left beside it");
    }
}
