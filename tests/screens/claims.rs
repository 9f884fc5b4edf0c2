//! What screens and layers say, as claims: of what the program works out itself, of styles, and of boxes whose words are all there is.

use ratatui::style::{Color, Modifier};

use crate::places::{LAYERS, SCREENS};
use crate::sitting::{COLOUR, GIVEN, NO_COLOUR, Sitting};
use bedfellow::crops::Raised;
use bedfellow::garden::{EntryId, Garden, PastCrop, PlannedDates, Planting, PlantingId, Side};

const SMALL: (u16, u16) = (80, 24);
const LARGE: (u16, u16) = (200, 50);

/// The text of a screen or layer.
fn text(name: &str, size: (u16, u16)) -> String {
    let mut sitting = Sitting::at_given(COLOUR, size);
    SCREENS.iter().chain(&LAYERS).find(|place| place.name == name).unwrap().go(&mut sitting);
    sitting.text(size)
}

/// Fails unless all of that stands there, in that order.
#[track_caller]
fn says(text: &str, words: &[&str]) {
    let mut rest = text;
    for word in words {
        let Some(place) = rest.find(word) else { panic!("no `{word}` after what comes before it in\n{text}") };
        rest = &rest[place + word.len()..];
    }
}

#[test]
fn the_form_for_placing_opens_filled_and_counts_plants_and_seed() {
    // 4.8 m of 1.2 m at 25 cm, half of it from each edge: 19 stations along by 4 lines across, of 4 plants each.
    // A tenth more are raised, in trays of 40 modules: 84 modules; at 80 % of 420 seeds 336 come up.
    for size in [SMALL, LARGE] {
        let shown = text("placing", size);
        says(&shown, &["Place Leek in A1", "bed ", "A1", "layout", "grid", "spacing cm", "25", "clump", "4"]);
        says(&shown, &["76 stations × 4 = 304 plants in 4", "84 modules (3 trays), 420 seeds"]);
        // A module is set out on Monday of the week looked at, ten weeks after it is sown.
        says(&shown, &["sow ", "2027-04-05", "plant ", "2027-06-14", "first pick ", "2027-"]);
        // They would still stand when the rye goes in.
        says(&shown, &["≡ breach: winter rye (green manure): on"]);
    }
}

#[test]
fn the_form_for_placing_between_says_how_two_crops_fit() {
    for size in [SMALL, LARGE] {
        let shown = text("interplanting", size);
        says(&shown, &["Place Lettuce (hearting) in B2", "layout", "between", "host", "Calabrese"]);
        let verdict = ["fits beside Calabrese", "tight beside Calabrese", "crowds Calabrese"];
        assert!(verdict.iter().any(|verdict| shown.contains(verdict)), "{shown}");
    }
}

#[test]
fn what_could_follow_says_when_the_bed_is_free_and_lists_the_engines_candidates_in_their_order() {
    for size in [SMALL, LARGE] {
        let mut sitting = Sitting::at_given(COLOUR, size);
        sitting.keys("gA1<Enter>n");
        let shown = sitting.text(size);
        says(&shown, &["What could follow in A1, free from 14 Jun W24"]);
        let plan = sitting.session.plan();
        let list = plan.candidates_seen_from(0, sitting.session.today, sitting.session.today);
        let names: Vec<&str> =
            list.iter().take(10).map(|one| plan.book().crops()[one.crop_idx].name.as_str()).collect();
        assert!(names.len() == 10, "{names:?}");
        says(&shown, &names);
    }
}

#[test]
fn the_crop_book_shows_a_crop_with_its_sources_and_the_chart_of_the_site() {
    let months =
        ["month", "J F M A M J J A S O N D", "sow inside", "sow outside", "plant out", "pick", "first pick 165 days"];
    for size in [SMALL, LARGE] {
        let shown = text("book", size);
        says(&shown, &["3 crops match `leek`", "Leek", "onion family; alliums (Amaryllidaceae), back after"]);
        says(&shown, &months);
        says(&shown, &["source: months: ", "Week sown, week first picked"]);
    }
    let shown = text("book", LARGE);
    says(&shown, &["by the sun and the temperatures of this site"]);
    says(
        &shown,
        &["Spacing", "grid 25 cm, 4 plants per station", "source: ", "Raising", "10 weeks in modules", "source: "],
    );
    says(&shown, &["Warmth and cold", "killed about -15 °C", "Size, food, yield, keeping", "65 cm tall"]);
    // Sown later it is picked no sooner, in whichever column.
    let rows: Vec<Vec<&str>> = shown
        .lines()
        .filter_map(|line| line.split_once('│').map(|(_, row)| row.split_whitespace().collect()))
        .filter(|row: &Vec<&str>| row.len() > 1 && row.iter().all(|word| word.starts_with('W') && word.len() == 3))
        .collect();
    assert!(rows.len() >= 5 && rows.is_sorted_by(|one, other| one[0] < other[0] && one[1] <= other[1]), "{rows:?}");
}

#[test]
fn the_ground_shows_what_stands_when_it_is_free_and_what_could_follow() {
    let shown = text("ground", LARGE);
    // Set out at 5 % of what they cover when grown: 64 clumps at 25 cm on 30 cm are 69 %.
    says(&shown, &["A2 1.2 × 4.8 m", "a Leek 256, 0–480 cm", "covers 3 %", "until 31"]);
    says(&shown, &["Salad onion", "until 14 Aug", "whole bed free 31 Mar 28", "past years", "2026 Potato"]);
    says(&shown, &["Could follow (n lists all)", ", in "]);
}

/// The bed's bars from April to October: salads of spring fill and go, leeks rise and never shrink, a cleared bed is empty.
#[test]
fn the_ground_grows_from_april_to_october() {
    let covered = |week_keys: &str, bed: &str| {
        let mut sitting = Sitting::at_given(COLOUR, SMALL);
        sitting.keys(&format!("g{bed}<Enter>{week_keys}"));
        let bed_idx = sitting.session.plan().bed_idx(bed).unwrap();
        let (plan, day) = (sitting.session.plan(), sitting.ui.view.week.monday());
        let there = plan.standing_in(bed_idx).iter().filter(|standing| standing.stands_on(day));
        (there.map(|standing| plan.covered(standing, day).share).sum::<f64>(), sitting.text(SMALL))
    };
    // Weeks from 14 June to 19 April, to the week itself and to 4 October.
    let [april, june, october] = ["{{", "", "}}}}"].map(|keys| covered(keys, "A1"));
    assert!(april.0 > 0.0 && april.1.contains("Lettuce leaf"), "{april:?}");
    assert!(june.0 == 0.0 && !june.1.contains("Lettuce leaf"), "{june:?}");
    assert!(october.0 == 0.0, "{october:?}");
    let [april, june, october] = ["{{", "", "}}}}"].map(|keys| covered(keys, "A2"));
    assert!(april.0 == 0.0 && june.0 > 0.0 && october.0 > 0.5, "{april:?} {june:?} {october:?}");
}

/// Signs of a card's bars, low to high.
const GAUGE: &str = " ▁▂▃▄▅▆▇█";

#[test]
fn the_leeks_on_their_card_never_shrink() {
    let mut sitting = Sitting::at_given(NO_COLOUR, SMALL);
    sitting.keys("gA2<Enter>");
    let mut before = 0;
    for _ in 0..30 {
        let text = sitting.text(SMALL);
        let line = text.lines().find(|line| line.contains("Leek 256")).unwrap().to_owned();
        let sign = line[..line.find("Leek 256").unwrap()].chars().next_back().unwrap();
        let level = GAUGE.chars().position(|known| known == sign).unwrap();
        assert!(level >= before, "{line}");
        before = level;
        sitting.keys("]");
    }
    // The book sets clumps at 25 cm, here they stand at 30: 64 × 0.25² of 1.2 × 4.8 m are 69 %, the sixth of eight.
    assert_eq!(before, 6);
}

/// The row of a frame that holds a word, as symbols and as styles.
fn row_with(sitting: &Sitting, word: &str) -> Vec<(String, Color, Modifier)> {
    let buffer = sitting.buffer(SMALL);
    let row = |y: u16| (0..SMALL.0).map(move |x| (x, y));
    let is_there = |y: &u16| row(*y).map(|at| buffer[at].symbol()).collect::<String>().contains(word);
    let y = (0..SMALL.1).find(is_there).unwrap_or_else(|| panic!("no `{word}` in\n{}", sitting.text(SMALL)));
    row(y).map(|at| (buffer[at].symbol().to_owned(), buffer[at].fg, buffer[at].modifier)).collect()
}

#[test]
fn selection_and_findings_are_told_with_and_without_colour() {
    for options in [COLOUR, NO_COLOUR] {
        let mut sitting = Sitting::at_given(options, SMALL);
        sitting.keys("5H");
        // The selected row has a pointer and is reversed, whole; the next is neither.
        let rows = ["onion", "endive"].map(|word| row_with(&sitting, word));
        let [selected, other] = &rows;
        assert_eq!(selected[0].0, "▸");
        assert!(selected.iter().all(|(_, _, modifier)| modifier.contains(Modifier::REVERSED)), "{selected:?}");
        assert!(other[0].0 == " " && !other.iter().any(|(_, _, modifier)| modifier.contains(Modifier::REVERSED)));
        // Sign, word and weight say how grave it is, all in the colour of the text: hues tell plantings apart.
        let mut styles = Vec::new();
        for (sign, word) in [("≡", "breach"), ("=", "caution"), ("-", "note"), ("✓", "accepted")] {
            // The last such row, so that none is the selected one.
            let text = sitting.text(SMALL);
            let y = text
                .lines()
                .take(17)
                .enumerate()
                .skip(2)
                .filter(|(_, line)| line.contains(&format!(" {sign} {word}")))
                .last();
            let y = y.unwrap_or_else(|| panic!("no {word} in\n{text}")).0;
            let buffer = sitting.buffer(SMALL);
            let cell = &buffer[(4, y as u16)];
            styles.push((cell.fg, cell.modifier));
        }
        let [breach, caution, note] = [styles[0], styles[1], styles[2]];
        assert!([breach, caution, note].iter().all(|(colour, _)| *colour == Color::Reset), "{styles:?}");
        assert!(breach.1.contains(Modifier::BOLD) && note.1.contains(Modifier::DIM), "{styles:?}");
        assert!(!caution.1.intersects(Modifier::BOLD | Modifier::DIM), "{styles:?}");
        // On the ground the selected bed has a pointer before its name, in a style of its own.
        sitting.keys("1gA2<Enter>");
        let row = row_with(&sitting, "▸A2");
        let place = row.iter().position(|(symbol, _, _)| symbol == "▸").unwrap();
        let other = row.iter().position(|(symbol, _, _)| symbol == "3").unwrap();
        assert_ne!((row[place + 1].1, row[place + 1].2), (row[other].1, row[other].2), "{row:?}");
    }
}

/// Which crops rotation has nothing against on a day is a matter of growth as well, so this layer has no snapshot.
#[test]
fn the_why_box_names_rule_reason_way_out_and_source() {
    let shown = text("why", SMALL);
    says(
        &shown,
        &[
            "Why: breach, rule family-return",
            "onion (autumn sets): onion family is back after 2 rotation years",
            "stands in A3 from 28 Sep 2026 to 30 Jun 2027.",
            "2 rotation years, 4 asked.",
            "Both are of the onion family (Amaryllidaceae).",
            "What counts for 2029",
            "Here rotation allows ",
            "Source: ",
            "Enter go there",
        ],
    );
}

/// The given garden with leeks in A1 too, and leeks in both beds the year before: onion family is back in A1 (leek), in A2 (leek, and
/// salad onion between) and in A3 (onions).
fn leeks_after_leeks() -> Sitting {
    let mut garden = Garden::from_ron(GIVEN, "tests/screens/given.ron").unwrap();
    let leek = garden.plantings.iter().find(|planting| planting.id == PlantingId(3)).unwrap().clone();
    let until = "2027-09-30".parse().ok();
    let planned = PlannedDates { first_pick: None, last_pick: None, clear: until, ..leek.planned };
    garden.plantings.push(Planting { id: PlantingId(90), bed: "A1".to_owned(), planned, ..leek });
    for (n, bed) in [(90, "A1"), (91, "A2")] {
        let (bed, what) = (bed.to_owned(), "leek".to_owned());
        garden.past.push(PastCrop { id: EntryId(n), bed, year: 2026, what, strip_mm: None, side: Side::Whole });
    }
    Sitting::at(garden, COLOUR, LARGE)
}

/// What the list says of the onion family: bed, and what is said.
fn onions_listed(sitting: &Sitting) -> Vec<String> {
    let text = sitting.text(LARGE);
    let rows = text.lines().filter(|line| line.contains(" breach ") && line.contains("onion family is back"));
    rows.map(|row| row.split_once("breach").unwrap().1.split_whitespace().collect::<Vec<_>>().join(" ")).collect()
}

#[test]
fn k_asks_of_what_and_why_and_what_is_kept_quiet_is_counted_shown_by_h_and_brought_back_by_undo() {
    let back = "onion family is back after 1 year; the rule asks for 4";
    let (a1, a2) = (format!("A1 leek: {back}"), format!("A2 leek: {back} (and 1 more)"));
    let (a2_leek, a2_onion) = (format!("A2 leek: {back}"), format!("A2 salad onion: {back}"));
    let a3 = "A3 onion (autumn sets): onion family is back after 2 rotation years, 2025 to 2027; the rule asks for 4"
        .to_owned();
    let shown_again = |row: &str| format!("{row} (kept quiet)");
    // How many steps down; what it says; the rows that stay; those shown by `H`; how many findings are hidden.
    let choices = [
        ("", "in A2", vec![&a1, &a3], vec![&a2], 2),
        ("<Down>", "of leek in A2", vec![&a1, &a2_onion, &a3], vec![&a2_leek], 1),
        ("<Down><Down>", "of leek", vec![&a2_onion, &a3], vec![&a1, &a2_leek], 2),
        ("<Down><Down><Down>", "in the whole garden", vec![], vec![&a1, &a2, &a3], 4),
    ];
    for (steps, what, stay, hidden, n_quiet) in choices {
        let mut sitting = leeks_after_leeks();
        sitting.keys("5gA2<Enter>");
        let before = onions_listed(&sitting);
        assert_eq!(before, [a1.clone(), a2.clone(), a3.clone()], "{what}");
        sitting.keys("K");
        let picker = sitting.text(LARGE);
        says(
            &picker,
            &["Keep every family-return finding quiet", "in A2", "of Leek in A2", "of Leek", "in the whole garden"],
        );
        sitting.keys(&format!("{steps}<Enter>"));
        let of_all = if what == "in the whole garden" { String::new() } else { format!(" {what}") };
        says(&sitting.text(LARGE), &[&format!("Reason to keep every family-return finding{of_all} quiet")]);
        // Without a reason nothing is kept quiet, and the question stays.
        sitting.keys("<Enter>");
        assert!(sitting.session.plan().garden().kept_quiet.is_empty() && !sitting.ui.layers.is_empty(), "{what}");
        says(&sitting.text(LARGE), &["give a reason"]);
        sitting.keys("fresh soil every year<Enter>");
        assert!(sitting.ui.layers.is_empty());
        let [row] = &sitting.session.plan().garden().kept_quiet[..] else { panic!("one row: {what}") };
        assert_eq!((row.rule.as_str(), row.reason.as_str()), ("family-return", "fresh soil every year"));
        assert_eq!(row.bed.as_deref(), what.contains("A2").then_some("A2"), "{what}");
        assert_eq!(row.crop.as_deref(), what.contains("leek").then_some("leek"), "{what}");
        let stays: Vec<String> = stay.into_iter().cloned().collect();
        assert_eq!(onions_listed(&sitting), stays, "{what}");
        let counted = format!(", {n_quiet} kept quiet ");
        says(&sitting.text(LARGE), &[&counted]);

        sitting.keys("H");
        let listed = onions_listed(&sitting);
        for row in hidden.into_iter().map(|row| shown_again(row)).chain(stays.iter().cloned()) {
            assert!(listed.contains(&row), "{what}: no `{row}` in {listed:?}");
        }
        let shown = sitting.text(LARGE);
        says(&shown, &[&counted]);
        says(&shown, &["what is past or kept quiet is listed too"]);
        // Where it is selected its reason is said.
        sitting.keys("/leek<Enter>gA2<Enter>");
        says(&sitting.text(LARGE), &["Kept quiet: fresh soil every year"]);
        sitting.keys("/<Enter>H");
        assert_eq!(onions_listed(&sitting), stays, "{what}: hidden again");
        sitting.keys("u");
        assert_eq!(onions_listed(&sitting), before, "{what}: undone");
        assert!(!sitting.text(LARGE).contains("kept quiet "), "{what}");
    }
}

#[test]
fn k_on_what_is_kept_quiet_shows_the_kind_again() {
    let mut sitting = leeks_after_leeks();
    sitting.keys("5gA2<Enter>");
    let before = onions_listed(&sitting);
    sitting.keys("K<Enter>fresh soil<Enter>");
    assert_eq!(onions_listed(&sitting).len(), 2);
    sitting.keys("HgA2<Enter>");
    says(&sitting.text(LARGE), &["Kept quiet: fresh soil"]);
    sitting.keys("K");
    assert!(sitting.session.plan().garden().kept_quiet.is_empty() && sitting.ui.layers.is_empty());
    sitting.keys("H");
    assert_eq!(onions_listed(&sitting), before);
}

#[test]
fn letters_count_what_is_hidden_apart_and_a_list_with_all_hidden_says_so() {
    let mut sitting = leeks_after_leeks();
    sitting.keys("5gA2<Enter>K<Enter>fresh soil<Enter>H/onion family is back<Enter>");
    // A1 and A3 are open, the garlic of P1 is accepted, A2's two are kept quiet.
    says(&sitting.text(LARGE), &[" of 4: 2 breaches, 1 accepted, 2 kept quiet "]);
    // With nothing to list, what is hidden is counted.
    let mut garden = Garden::from_ron(GIVEN, "tests/screens/given.ron").unwrap();
    garden.plantings.retain(|planting| planting.bed == "P2");
    let mut sitting = Sitting::at(garden, COLOUR, LARGE);
    sitting.keys("5");
    let shown = sitting.text(LARGE);
    says(&shown, &["Nothing to act on (2 past; H lists them)."]);
    sitting.keys("H");
    says(&sitting.text(LARGE), &["caution", "P2", "basil", " of 2: 2 past "]);
    sitting.keys("/frost<Enter>");
    says(&sitting.text(LARGE), &[" 1 of 1: 1 past "]);
}

#[test]
fn what_came_back_is_told_before_one_goes_on() {
    for size in [SMALL, LARGE] {
        says(
            &text("came_back", size),
            &[
                "Before you go on",
                "3 edits came back that were not saved when the program stopped:",
                "place leek in A1",
                "move carrot in B2 a week later",
                "taken back: remove pea from C1",
                "There is no journal and no lock here: the file system knows no locks.",
                "Enter go on",
            ],
        );
    }
}

#[test]
fn a_garden_that_is_open_elsewhere_or_barred_is_read_only_and_says_how_to_have_it() {
    for size in [SMALL, LARGE] {
        let shown = text("open_elsewhere", size);
        says(
            &shown,
            &[
                "[read-only]",
                "Before you go on",
                "This garden is open elsewhere: process 4711 on bothy since 2027-06-14",
            ],
        );
        says(&shown, &["Here it is read-only", "O takes the garden"]);
        let shown = text("only_looked_at", size);
        says(
            &shown,
            &[
                "[read-only]",
                "This garden is read-only here: you may not write the file.",
                "O tries again to take it over.",
            ],
        );
    }
}

#[test]
fn a_file_that_is_gone_or_has_other_names_leaves_four_ways_on() {
    for size in [SMALL, LARGE] {
        let shown = text("file_gone", size);
        says(&shown, &["[file gone]", "The file is gone", "it was moved, renamed or deleted"]);
        says(
            &shown,
            &[
                "▸ write it again",
                "save mine under another name",
                "leave (mine is put aside",
                "later: go on, and save nothing",
            ],
        );
        let shown = text("file_linked", size);
        says(&shown, &["[not saved]", "The file has other names", "is one of 2 names of the same file"]);
        says(
            &shown,
            &[
                "▸ save mine under another name",
                "write it into a new file",
                "leave (the journal",
                "later: go on, and save nothing",
            ],
        );
    }
}

#[test]
fn restoring_asks_with_another_key_and_says_that_nothing_is_lost() {
    for size in [SMALL, LARGE] {
        let shown = text("restoring", size);
        says(&shown, &["Earlier versions", "Sure?", "R goes back to the garden of 2027-06-13 19:02 UTC"]);
        says(&shown, &["R yes", "any other key no"]);
    }
}

#[test]
fn a_prompt_asks_for_a_file_and_goes_back_by_esc() {
    for size in [SMALL, LARGE] {
        says(&text("prompt", size), &["Enter done", "Esc back"]);
    }
}

/// The plantings of the garden that snapshots are taken on keep the days they are given, whatever growth says.
#[test]
fn the_garden_of_the_snapshots_has_all_its_dates() {
    let sitting = Sitting::at_given(COLOUR, SMALL);
    let plan = sitting.session.plan();
    for planting in &plan.garden().plantings {
        let stages = plan.standing(planting.id).unwrap().stages;
        let (planned, real) = (&planting.planned, plan.real(planting.id));
        assert_eq!(real.plant.or(planned.plant).or(planned.sow), Some(stages.enters), "{planting:?}");
        assert_eq!(
            (planned.first_pick, planned.last_pick),
            (Some(stages.first_pick), Some(stages.last_pick)),
            "{planting:?}"
        );
        assert_eq!(planned.clear, Some(stages.clear), "{planting:?}");
        assert!(planned.sow.is_some() || planting.raised != Raised::Module, "{planting:?}");
    }
}
