//! Writes the planting list as text.
//!
//! ```text
//! PLANTING LIST · the garden's name
//! from – to, all beds
//!
//! 2027-W16 · Mon 19 Apr – Sun 25 Apr
//!   CLEAR  crop from bed                 what follows
//!   SOW    crop ‘variety’ for bed        seeds, modules
//!   PLANT  crop ‘variety’ in bed         strip, layout, count
//!   PICK   crop from bed                 first pick, until when
//!
//! TOTALS …  OPEN FINDINGS …  TAKE CARE …
//! ```

use chrono::NaiveDate;
use unicode_width::UnicodeWidthStr as _;

use super::list::{Clearing, CropTotal, ListWeek, Named, Picking, Place, PlantingList, SettingOut, Sowing};
use super::{Column, LIST_WIDTH, Page};
use crate::layout::MODULES_PER_TRAY;
use crate::words::{counted, grams_words};

/// What stands before the second and later lines of an item.
const UNDER: &str = "           ";

/// The list as text of [`LIST_WIDTH`] cells a line.
pub fn write_list(list: &PlantingList, is_ascii: bool) -> String {
    let mut page = Page::new(LIST_WIDTH, is_ascii);
    page.line(&format!("PLANTING LIST · {}", list.garden));
    let beds = list.bed.as_ref().map_or("all beds".to_owned(), |bed| format!("bed {bed} only"));
    page.line(&format!("{} – {}, {beds}", long_day(list.from), long_day(list.to)));
    if list.weeks.iter().flat_map(|week| &week.sow).any(|sowing| sowing.trays > 0) {
        page.line(&format!("tray: {MODULES_PER_TRAY} modules"));
    }
    if list.weeks.is_empty() {
        page.blank();
        page.line("Nothing to clear, sow, plant or pick for the first time in these days.");
    }
    for week in &list.weeks {
        write_week(&mut page, week);
    }
    write_totals(&mut page, list);
    write_findings(&mut page, list);
    write_cautions(&mut page, list);
    page.into_text()
}

/// What cautions have in common is said once.
fn write_cautions(page: &mut Page, list: &PlantingList) {
    if list.take_care.is_empty() {
        return;
    }
    page.blank();
    page.line("TAKE CARE");
    let mut sources: Vec<&str> = Vec::new();
    for care in list.take_care.iter().filter(|care| !care.source.is_empty()) {
        if !sources.contains(&care.source.as_str()) {
            sources.push(&care.source);
        }
    }
    // Cautions that share one source are told under it; of several sources each is told with its caution.
    let shared = if let [one] = sources.as_slice() { Some(*one) } else { None };
    if let Some(source) = shared {
        page.paragraph("  ", "  ", source);
    }
    for care in &list.take_care {
        let source = if shared.is_some() { "" } else { care.source.as_str() };
        page.paragraph("  ", "    ", &format!("{}: {} {source}", care.crops.join(", "), care.caution));
    }
}

fn write_week(page: &mut Page, week: &ListWeek) {
    page.blank();
    page.line(&format!("{} · {} – {}", week.week, day(week.monday), long_day(week.sunday)));
    // What is cleared makes room for what goes in.
    let mut word = "CLEAR";
    for clearing in &week.clear {
        write_clearing(page, word, clearing);
        word = "     ";
    }
    let mut word = "SOW  ";
    for sowing in &week.sow {
        write_sowing(page, word, sowing);
        word = "     ";
    }
    let mut word = "PLANT";
    for setting_out in &week.plant {
        write_setting_out(page, word, setting_out);
        word = "     ";
    }
    let mut word = "PICK ";
    for picking in &week.pick {
        write_picking(page, word, picking);
        word = "     ";
    }
}

fn write_sowing(page: &mut Page, word: &str, sowing: &Sowing) {
    let grams = sowing.seed_g.map_or(String::new(), |grams| format!(" ({})", grams_words(grams)));
    let seeds = format!("{}{grams}", counted(sowing.seeds, "seed", "seeds"));
    match &sowing.in_place {
        Some(place) => {
            head(page, word, &sowing.named, "in bed");
            write_place(page, place);
            page.paragraph(UNDER, UNDER, &seeds);
        }
        None => {
            head(page, word, &sowing.named, "for bed");
            let modules = counted(sowing.modules, "module", "modules");
            let trays = counted(sowing.trays, "tray", "trays");
            let where_sown = if sowing.modules > 0 { format!("{modules} ({trays}), ") } else { String::new() };
            page.paragraph(UNDER, UNDER, &format!("{where_sown}{seeds}"));
        }
    }
}

fn write_setting_out(page: &mut Page, word: &str, setting_out: &SettingOut) {
    head(page, word, &setting_out.named, "in bed");
    write_place(page, &setting_out.place);
    if let Some(to_have) = &setting_out.to_have {
        page.paragraph(UNDER, UNDER, &format!("have ready {to_have}"));
    }
}

fn write_clearing(page: &mut Page, word: &str, clearing: &Clearing) {
    head(page, word, &clearing.named, "from bed");
    let then = match &clearing.then {
        Some(next) => format!("then {} on {}", next.crop, day_of_year(next.date, clearing.named.date)),
        None => "then nothing is planned".to_owned(),
    };
    let unpicked = match clearing.would_be_ripe {
        Some(ripe) => format!("; not picked, ripe only about {}", day_of_year(ripe, clearing.named.date)),
        None if clearing.is_unpicked => "; not picked, it does not get ripe".to_owned(),
        None => String::new(),
    };
    page.paragraph(UNDER, UNDER, &format!("{}{unpicked}; {then}", clearing.strip));
}

fn write_picking(page: &mut Page, word: &str, picking: &Picking) {
    head(page, word, &picking.named, "from bed");
    let until = day_of_year(picking.until, picking.named.date);
    page.paragraph(UNDER, UNDER, &format!("first pick, until about {until}"));
}

fn head(page: &mut Page, word: &str, named: &Named, to_bed: &str) {
    let variety = if named.variety.is_empty() { String::new() } else { format!(" ‘{}’", named.variety) };
    let done = if named.is_done { ", done" } else { "" };
    let text = format!("{}{variety} {to_bed} {}, {}{done}", named.crop, named.bed, day(named.date));
    page.paragraph(&format!("  {word}  "), UNDER, &text);
}

fn write_place(page: &mut Page, place: &Place) {
    let ground = format!("{}; {}:", place.strip, place.layout);
    if UNDER.width() + ground.width() + 1 + place.count.width() <= LIST_WIDTH {
        page.paragraph(UNDER, UNDER, &format!("{ground} {}", place.count));
    } else {
        page.paragraph(UNDER, UNDER, &ground);
        page.paragraph(UNDER, UNDER, &place.count);
    }
}

fn write_totals(page: &mut Page, list: &PlantingList) {
    if list.totals.is_empty() {
        return;
    }
    page.blank();
    page.line("TOTALS");
    let columns = [
        Column::long("crop"),
        Column::number("plants"),
        Column::number("seeds"),
        Column::number("seed"),
        Column::number("modules"),
        Column::number("sets etc."),
    ];
    let is_unknown = |total: &CropTotal| total.seeds > 0 && total.seed_g.is_none();
    let number = |n: u64| if n == 0 { "–".to_owned() } else { n.to_string() };
    let rows: Vec<Vec<String>> = list
        .totals
        .iter()
        .map(|total| {
            vec![
                total.crop.clone(),
                number(total.plants),
                number(total.seeds),
                total.seed_g.map_or(if is_unknown(total) { "?" } else { "–" }.to_owned(), grams_words),
                number(total.modules),
                number(total.sets),
            ]
        })
        .collect();
    page.table(2, &columns, &rows);
    if rows.iter().flatten().any(|cell| cell == "–") {
        page.line("  – : none in this span");
    }
    if list.totals.iter().any(is_unknown) {
        page.line("  ? : the book does not know the weight of this seed");
    }
}

fn write_findings(page: &mut Page, list: &PlantingList) {
    page.blank();
    page.line("OPEN FINDINGS");
    if list.findings.is_empty() {
        page.line("  no breach and no caution");
    }
    for finding in &list.findings {
        let text = format!("bed {}: {}", finding.bed, finding.sentence);
        page.paragraph(&format!("  {:<8} ", finding.severity), UNDER, &text);
    }
    if list.n_notes > 0 {
        page.line(&format!("  and {}, which `bedfellow check` shows", counted(list.n_notes as u64, "note", "notes")));
    }
}

fn day(date: NaiveDate) -> String {
    date.format("%a %-d %b").to_string()
}

fn long_day(date: NaiveDate) -> String {
    date.format("%a %-d %b %Y").to_string()
}

/// The year is said only where it is another.
fn day_of_year(date: NaiveDate, beside: NaiveDate) -> String {
    use chrono::Datelike as _;
    if date.year() == beside.year() { day(date) } else { long_day(date) }
}

#[cfg(test)]
mod tests {
    use super::super::{CropCaution, NextIn, OpenFinding};
    use super::*;

    fn named(name: &str) -> Named {
        Named {
            date: NaiveDate::from_ymd_opt(2027, 6, 1).unwrap(),
            planting: "p1".to_owned(),
            crop: name.to_owned(),
            variety: name.to_owned(),
            bed: name.to_owned(),
            is_done: true,
        }
    }

    /// A list in which every text is the name.
    fn list_of(name: &str) -> PlantingList {
        let place = Place {
            strip: name.to_owned(),
            layout: name.to_owned(),
            count: name.to_owned(),
            stations: 1,
            clump: 1,
            plants: 1,
        };
        let date = named(name).date;
        let sowing = Sowing { named: named(name), seeds: 1, seed_g: Some(0.01), modules: 1, trays: 1, in_place: None };
        let in_place = Sowing { in_place: Some(place.clone()), ..sowing.clone() };
        let to_have = Some(name.to_owned());
        let next = NextIn { planting: "p2".to_owned(), crop: name.to_owned(), date };
        let week = ListWeek {
            week: "2027-W22".to_owned(),
            monday: date,
            sunday: date,
            sow: vec![sowing, in_place],
            plant: vec![SettingOut { named: named(name), raised: "in modules", to_have, place }],
            clear: vec![Clearing {
                named: named(name),
                strip: name.to_owned(),
                then: Some(next),
                is_unpicked: false,
                would_be_ripe: None,
            }],
            pick: vec![Picking { named: named(name), until: date }],
        };
        let finding =
            OpenFinding { severity: "breach", bed: name.to_owned(), planting: None, sentence: name.to_owned() };
        PlantingList {
            garden: name.to_owned(),
            from: date,
            to: date,
            bed: Some(name.to_owned()),
            weeks: vec![week],
            totals: vec![CropTotal { crop: name.to_owned(), plants: u64::MAX, ..CropTotal::default() }],
            findings: vec![finding],
            n_notes: 1,
            take_care: vec![CropCaution {
                crops: vec![name.to_owned()],
                caution: name.to_owned(),
                source: name.to_owned(),
            }],
        }
    }

    #[test]
    fn no_line_is_wider_than_eighty_cells_whatever_the_names() {
        for name in [
            "leek".to_owned(),
            "n".repeat(10_000),
            "long words of a long name ".repeat(40),
            "韭葱".repeat(200),
            "e\u{301}".repeat(500),
            "\u{1f469}\u{200d}\u{1f33e}".repeat(90),
            String::new(),
        ] {
            for is_ascii in [false, true] {
                let text = write_list(&list_of(&name), is_ascii);
                for line in text.lines() {
                    assert!(line.width() <= LIST_WIDTH, "{} cells: {line}", line.width());
                }
                assert!(!is_ascii || text.is_ascii(), "{text}");
            }
        }
    }

    #[test]
    fn control_characters_of_names_stay_out_of_the_list() {
        let text = write_list(&list_of("leek\u{1b}[2J\u{7}\r\n\u{202e}keel"), false);
        assert!(text.chars().all(|sign| sign == '\n' || !crate::units::text::is_unshowable(sign)), "{text:?}");
    }

    #[test]
    fn one_seed_one_module_and_one_note_are_singular() {
        let text = write_list(&list_of("leek"), false);
        for words in ["1 module (1 tray), 1 seed (under 0.1 g)", "and 1 note,"] {
            assert!(text.contains(words), "{words}: {text}");
        }
    }

    #[test]
    fn a_week_clears_before_it_sows_and_plants_and_then_picks() {
        let text = write_list(&list_of("leek"), false);
        let places: Vec<usize> =
            ["  CLEAR  ", "  SOW  ", "  PLANT  ", "  PICK  "].map(|word| text.find(word).unwrap()).to_vec();
        assert!(places.is_sorted(), "{text}");
        assert!(text.contains("first pick, until about Tue 1 Jun\n"), "{text}");
        assert_eq!(text.matches("tray: 40 modules").count(), 1, "{text}");
        assert_eq!(text.matches("  – : none in this span\n").count(), 1, "{text}");
    }

    #[test]
    fn a_source_that_cautions_share_is_said_once_and_several_each_with_its_caution() {
        let care = |crop: &str, caution: &str, source: &str| CropCaution {
            crops: vec![crop.to_owned()],
            caution: caution.to_owned(),
            source: source.to_owned(),
        };
        let told = |take_care: Vec<CropCaution>| {
            let text = write_list(&PlantingList { take_care, ..list_of("leek") }, false);
            text.split_once("TAKE CARE\n").unwrap().1.to_owned()
        };
        let potato = care("Potato", "Green tubers are poisonous.", "From memory.");
        let rhubarb = care("Rhubarb", "Leaves are poisonous.", "From memory.");
        let plain = care("Own crop", "Ask the seedsman.", "");
        assert_eq!(
            told(vec![potato.clone(), rhubarb.clone(), plain.clone()]),
            "  From memory.\n  Potato: Green tubers are poisonous.\n  Rhubarb: Leaves are poisonous.\n  \
             Own crop: Ask the seedsman.\n"
        );
        let other = care("Broad bean", "Few cannot eat them.", "A book.");
        assert_eq!(
            told(vec![potato, other, plain]),
            "  Potato: Green tubers are poisonous. From memory.\n  Broad bean: Few cannot eat them. A book.\n  \
             Own crop: Ask the seedsman.\n"
        );
    }
}
