//! From format 1 to 2, and from the records of edits that were written beside files of format 1.
//!
//! What is sown in place is raised `InPlace`, no longer `Direct`. What an accepted finding stands against is a value and no longer a
//! text that was read for numbers: `Planting(12)` was `p12`.

use std::ops::Range;

use ron::ser::PrettyConfig;
use serde::Serialize;

use super::Changes;
use crate::garden::write::ron_options;
use crate::garden::{Against, PlantingId, scan};

/// Brackets of edits within edits that a record is looked through for; none that was ever written has more than a few.
const DEPTH_MOST: usize = 16;

/// The text of a file.
pub(super) fn of_file(text: &str) -> Result<String, String> {
    let mut changes = Changes::default();
    for list in scan::parts(text, scan::find(text, &[]).unwrap_or_default()) {
        for row in scan::parts(text, list.value) {
            match list.name {
                "plantings" => planting(text, row.value, &mut changes),
                "accepted" => accepted(text, row.value, &mut changes),
                "own_crops" => own_crop(text, row.value, &mut changes),
                _ => break,
            }
        }
    }
    Ok(changes.made_in(text))
}

/// The text of a record, without the number of its form.
pub fn of_record(text: &str) -> Result<String, String> {
    let mut changes = Changes::default();
    for part in scan::parts(text, 0..text.len()).into_iter().filter(|part| part.name == "edit") {
        edit(text, part.value, &mut changes, DEPTH_MOST);
    }
    Ok(changes.made_in(text))
}

fn edit(text: &str, at: Range<usize>, changes: &mut Changes, depth_left: usize) {
    let Some(depth_left) = depth_left.checked_sub(1) else { return };
    for part in scan::parts(text, at.clone()) {
        match scan::name_of(text, at.clone()) {
            "AddPlanting" | "ChangePlanting" => planting(text, part.value, changes),
            "Put" | "Change" => {
                let list = scan::name_of(text, part.value.clone());
                for row in scan::parts(text, part.value) {
                    match list {
                        "Accepted" => accepted(text, row.value, changes),
                        "OwnCrop" => own_crop(text, row.value, changes),
                        _ => {}
                    }
                }
            }
            "Several" if part.name == "edits" => {
                for inner in scan::parts(text, part.value) {
                    edit(text, inner.value, changes, depth_left);
                }
            }
            _ => {}
        }
    }
}

fn planting(text: &str, at: Range<usize>, changes: &mut Changes) {
    for field in scan::parts(text, at) {
        if field.name == "raised" {
            raised(text, field.value, changes);
        }
    }
}

fn own_crop(text: &str, at: Range<usize>, changes: &mut Changes) {
    for seed in scan::parts(text, at).into_iter().filter(|field| field.name == "seed") {
        for ways in scan::parts(text, seed.value).into_iter().filter(|field| field.name == "raised") {
            for way in scan::parts(text, ways.value) {
                raised(text, way.value, changes);
            }
        }
    }
}

/// One way of raising; any other word is left for the reader to complain of.
fn raised(text: &str, at: Range<usize>, changes: &mut Changes) {
    if matches!(text.get(at.clone()), Some("Direct" | "r#Direct")) {
        changes.put(at, "InPlace");
    }
}

fn accepted(text: &str, at: Range<usize>, changes: &mut Changes) {
    let fields = scan::parts(text, at);
    let text_of = |name| {
        let value = fields.iter().find(|field| field.name == name)?.value.clone();
        ron::from_str::<String>(text.get(value)?).ok()
    };
    let rule = text_of("rule").unwrap_or_default();
    let Some(was) = text_of("against") else { return };
    let Some(is) = written(&against(&rule, was)) else { return };
    for field in fields.iter().filter(|field| field.name == "against") {
        changes.put(field.value.clone(), is.as_str());
    }
}

/// What a text of format 1 meant: another planting (`p12`), of an empty bed the weeks beside the planting and their year
/// (`after 2027`), a past crop (`2024 leek`), or a hazard (`clubroot`). One that meant nothing of these is kept as the last, and
/// names a hazard that is not known.
fn against(rule: &str, was: String) -> Against {
    let planting = was.strip_prefix('p').and_then(|number| number.parse().ok());
    let (first, rest) = was.split_once(' ').unwrap_or((&was, ""));
    match (first, rest.parse(), first.parse()) {
        ("", ..) if was.is_empty() => Against::Nothing,
        ("after", Ok(year), _) if rule == "gap" => Against::WeeksAfter(year),
        ("before", Ok(year), _) if rule == "gap" => Against::WeeksBefore(year),
        (_, _, Ok(year)) if !rest.is_empty() => Against::Past { year, what: rest.to_owned() },
        _ => planting.map_or(Against::Hazard(was), |id| Against::Planting(PlantingId(id))),
    }
}

fn written<T: Serialize>(value: &T) -> Option<String> {
    ron_options().to_string_pretty(value, PrettyConfig::new().depth_limit(0).new_line("\n")).ok()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_a_finding_stands_against_is_a_value() {
        let is = |rule: &str, was: &str| against(rule, was.to_owned());
        assert_eq!(is("overlap", ""), Against::Nothing);
        assert_eq!(is("overlap", "p12"), Against::Planting(PlantingId(12)));
        assert_eq!(is("gap", "after 2027"), Against::WeeksAfter(2027));
        assert_eq!(is("gap", "before 2027"), Against::WeeksBefore(2027));
        let leek = Against::Past { year: 2024, what: "leek, \"early\" p3".to_owned() };
        assert_eq!(is("family-return", "2024 leek, \"early\" p3"), leek);
        for was in ["clubroot", "p", "px", "p99999999999", "after 2027", "2024", " ", "after the leeks"] {
            let rule = if was == "after the leeks" { "gap" } else { "hazard-host" };
            assert_eq!(is(rule, was), Against::Hazard(was.to_owned()), "{was}");
        }
    }

    #[test]
    fn only_the_text_that_says_it_is_taken_over() {
        let text = "(past: [(what: \"p1\")], accepted: [(rule: \"overlap\", against : /* p2 */ \"p1\", reason: \"against: \\\"p1\\\"\"),\n\
            Accepted(against: r#\"2024 \"leek\"\"#, rule: \"return\" // p3\n), (against: \"\"), (rule: \"x\"), (against: 7)])";
        let expected = "(past: [(what: \"p1\")], accepted: [(rule: \"overlap\", against : /* p2 */ Planting(1), reason: \"against: \\\"p1\\\"\"),\n\
            Accepted(against: Past(year: 2024, what: \"\\\"leek\\\"\"), rule: \"return\" // p3\n), (against: Nothing), (rule: \"x\"), (against: 7)])";
        assert_eq!(of_file(text).unwrap(), expected);
    }

    #[test]
    fn only_how_a_planting_or_an_own_crop_is_raised_is_another_word() {
        let text = "// raised: Direct\n(format: 1, name: \"raised: Direct\", raised: Direct,\n\
            plantings: [(id: 1, notes: \"raised: Direct\", /* raised: Direct, */ raised : /* now */ Direct, Direct: Direct),\n\
            Planting(notes: r#\"\"raised: Direct\"#, r#raised:\n  r#Direct\n) , (raised: Directly), (layout: Grid(raised: Direct))],\n\
            own_crops: [(raised: [Direct], seed: (raised: [ Module,Direct, // Direct\n Direct ], source: \"Direct\"))])";
        let expected = "// raised: Direct\n(format: 1, name: \"raised: Direct\", raised: Direct,\n\
            plantings: [(id: 1, notes: \"raised: Direct\", /* raised: Direct, */ raised : /* now */ InPlace, Direct: Direct),\n\
            Planting(notes: r#\"\"raised: Direct\"#, r#raised:\n  InPlace\n) , (raised: Directly), (layout: Grid(raised: Direct))],\n\
            own_crops: [(raised: [Direct], seed: (raised: [ Module,InPlace, // Direct\n InPlace ], source: \"Direct\"))])";
        assert_eq!(of_file(text).unwrap(), expected);
        assert_eq!(of_file(expected).unwrap(), expected);
    }

    #[test]
    fn a_torn_text_is_left_for_the_reader_to_complain_of() {
        for text in ["", "(", "(plantings: [(raised: Direct", "[Direct]", "(plantings: Direct", "(own_crops: [(seed: ["]
        {
            assert_eq!(of_file(text).unwrap().replace("InPlace", "Direct"), text);
            assert_eq!(of_record(text).unwrap(), text);
        }
    }
}
