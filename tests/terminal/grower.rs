//! The job of one afternoon: leeks, salad onions between them, the weeks up to the empty bed, second thoughts, the list.

use crate::sitting::{CTRL_R, CTRL_U, DOWN, ENTER, ESC, Sitting, Start, THREE_BEDS};

/// Walks down so many fields and puts a value in.
fn fill(sitting: &mut Sitting, n_down: usize, value: &str) {
    sitting.keys(&format!("{}{CTRL_U}{value}", DOWN.repeat(n_down)));
}

/// Leeks as common practice has them: clumps of four at 30 cm, 32 stations in 1.2 x 2.4 m, 128 plants.
/// Here they are lifted small, so that the bed frees up in the summer.
fn place_leeks(sitting: &mut Sitting) {
    sitting.types("a", "Place a crop in A2");
    sitting.types("leek", "leek");
    sitting.types(ENTER, "Place Leek in A2");
    fill(sitting, 4, "30");
    sitting.sees("32 stations × 4 = 128");
    fill(sitting, 5, "2027-05-03");
    fill(sitting, 1, "2027-08-02");
    fill(sitting, 1, "2027-08-27");
    fill(sitting, 1, "2027-08-28");
    sitting.sees("clear 28 Aug");
    sitting.places();
}

/// Salad onions at the 3 x 7 centres between the leeks, from the same day, for two months.
fn interplant_salad_onions(sitting: &mut Sitting) {
    sitting.types("2", "32 stations × 4 = 128");
    sitting.types("i", "Interplant with Leek");
    sitting.types("salad onion", "salad onion");
    sitting.types(ENTER, "Place Salad onion in A2");
    sitting.sees("21 stations × 8 = 168");
    // To "raised", then "in modules".
    sitting.keys(&DOWN.repeat(6));
    sitting.types("i", "< in modules >");
    fill(sitting, 1, "2027-04-19");
    fill(sitting, 1, "2027-05-03");
    fill(sitting, 1, "2027-06-25");
    fill(sitting, 1, "2027-07-02");
    fill(sitting, 1, "2027-07-03");
    sitting.sees("fits beside Leek");
    sitting.places();
    sitting.sees("(b) Salad onion");
}

fn saved(sitting: &Sitting) -> String {
    std::fs::read_to_string(sitting.path("garden.ron")).unwrap()
}

#[test]
fn leeks_and_salad_onions_are_placed_walked_through_undone_redone_and_listed_by_keys_alone() {
    let mut sitting = Start::on_garden(THREE_BEDS).open();
    sitting.types("l", "▸A2");
    place_leeks(&mut sitting);
    interplant_salad_onions(&mut sitting);

    // Week by week: bare, both standing, leeks alone, bare again.
    sitting.sees("nothing stands here");
    let mut seen = Vec::new();
    for week in 16..=35 {
        sitting.types("]", &format!("2027-W{week}"));
        let text = sitting.text();
        let line = text.lines().find(|line| line.contains("Plantings")).unwrap_or_default().trim().to_owned();
        let is_bare = text.contains("nothing stands here");
        seen.push((week, line, is_bare));
    }
    let at = |week: u32| seen.iter().find(|(is, ..)| *is == week).unwrap();
    assert!(at(16).2, "W16 is before anything goes in: {:?}", at(16));
    assert!(!at(18).2 && !at(34).2, "from 3 May to 27 August something stands: {:?} {:?}", at(18), at(34));
    assert!(at(35).2, "the bed is bare in W35: {:?}", at(35));
    assert!(at(20).1.contains("28 Aug"), "both stand, and the bed frees up on 28 August: {:?}", at(20));
    assert!(at(35).1.contains("free now"), "{:?}", at(35));

    // Ground says the same of the bed.
    sitting.types("1", "whole bed free");
    sitting.types("t", "2027-W15");

    // Second thoughts, both ways.
    sitting.types("u", "undo");
    sitting.types("u", "undo");
    sitting.types("u", "nothing to undo");
    sitting.types("2", "Nothing is planted");
    sitting.types(CTRL_R, "Leek");
    sitting.types(CTRL_R, "Salad onion");
    sitting.types(CTRL_R, "nothing to redo");

    // The list for the shed.
    let list = sitting.path("shed.txt");
    sitting.types("p", "list");
    sitting.keys(&format!("{CTRL_U}{}", list.display()));
    sitting.types(ENTER, "planting list written");
    insta::assert_snapshot!("planting_list", std::fs::read_to_string(&list).unwrap());

    sitting.keys("q");
    assert_eq!(sitting.ends().0, 0);
    let text = saved(&sitting);
    assert!(text.contains("crop: \"leek\"") && text.contains("crop: \"salad-onion\""), "{text}");

    // The file opens again and holds both.
    let mut again = Start::on_garden(&text).open();
    again.types("l", "▸A2");
    again.types("2", "(b) Salad onion");
    again.sees("(a) Leek");
}

#[test]
fn placing_takes_at_most_five_keys_beyond_the_crops_name() {
    let mut sitting = Start::on_garden(THREE_BEDS).open();
    sitting.sees("▸A1");
    let beyond_the_name = ["a", ENTER, ENTER];
    sitting.types(beyond_the_name[0], "Place a crop in A1");
    sitting.types("lettuce", "lettuce");
    sitting.types(beyond_the_name[1], "Place Lettuce");
    sitting.keys(beyond_the_name[2]);
    sitting.sees_no_more("Enter place");
    assert!(beyond_the_name.len() <= 5);
    sitting.keys("q");
    assert_eq!(sitting.ends().0, 0);
    assert_eq!(saved(&sitting).matches("crop: \"lettuce").count(), 1);
}

#[test]
fn a_form_left_by_escape_leaves_no_trace() {
    let mut sitting = Start::on_garden(THREE_BEDS).open();
    sitting.sees("▸A1");
    sitting.types("a", "Place a crop in A1");
    sitting.types("leek", "leek");
    sitting.types(ENTER, "Place Leek in A1");
    sitting.keys(ESC);
    sitting.sees_no_more("Place Leek in A1");
    sitting.types("u", "nothing to undo");
    sitting.keys("q");
    assert_eq!(sitting.ends().0, 0);
    assert_eq!(saved(&sitting), THREE_BEDS, "what was not edited is not written");
}

#[test]
fn pasted_text_with_a_line_end_fills_a_field_and_does_not_submit() {
    let mut sitting = Start::on_garden(THREE_BEDS).open();
    sitting.sees("▸A1");
    sitting.types("a", "Place a crop in A1");
    sitting.types("leek", "leek");
    sitting.types(ENTER, "Place Leek in A1");
    // From "from cm" up to "variety".
    sitting.keys("\x1b[A");
    sitting.types("\x1b[200~Blue\nof autumn\x1b[201~", "Blue of autumn");
    sitting.sees("Place Leek in A1");
    sitting.places();
}
