//! From format 1 to 2, and from the records of edits that were written beside files of format 1.
//!
//! What is sown in place is raised `InPlace`, no longer `Direct`.

use std::ops::Range;

use super::Changes;
use crate::garden::scan;

/// Brackets of edits within edits that a record is looked through for; none that was ever written has more than a few.
const DEPTH_MOST: usize = 16;

/// The text of a file.
pub(super) fn of_file(text: &str) -> Result<String, String> {
    let mut changes = Changes::default();
    for list in scan::parts(text, scan::find(text, &[]).unwrap_or_default()) {
        for row in scan::parts(text, list.value) {
            match list.name {
                "plantings" => planting(text, row.value, &mut changes),
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
            "Put" | "Change" => match scan::name_of(text, part.value.clone()) {
                "OwnCrop" => {
                    for row in scan::parts(text, part.value) {
                        own_crop(text, row.value, changes);
                    }
                }
                _ => {}
            },
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

#[cfg(test)]
mod tests {
    use super::*;

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
