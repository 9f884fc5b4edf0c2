//! From format 1 to 2, and from the records of edits that were written beside files of format 1.
//!
//! What is sown in place is raised `InPlace`, no longer `Direct`. What an accepted finding stands against is a value and no longer a
//! text that was read for numbers: `Planting(12)` was `p12`. What happened to plantings is a list of its own, a row for each thing on
//! each day; in format 1 each planting had it in its field `real`.

use std::ops::Range;

use chrono::NaiveDate;
use ron::ser::PrettyConfig;
use serde::{Deserialize, Serialize};

use super::Changes;
use crate::garden::limits::{N_HAPPENED, N_PLANTINGS, N_RECORDS};
use crate::garden::write::ron_options;
use crate::garden::{Against, Ending, EntryId, Happened, Happening, PlantingId, RealDates, scan};
use crate::units::list::at_most;

/// Brackets of edits within edits that a record is looked through for; none that was ever written has more than a few.
const DEPTH_MOST: usize = 16;

/// Fields of a row that are looked at.
const FIELDS_MOST: usize = 64;

/// The text of a file.
pub(super) fn of_file(text: &str) -> Result<String, String> {
    let mut changes = Changes::default();
    let mut happened = Vec::new();
    let mut plantings_end = None;
    for list in scan::parts(text, scan::find(text, &[]).unwrap_or_default()) {
        if list.name == "plantings" {
            plantings_end = Some(list.value.end);
        }
        // What lies beyond is refused by the reader.
        for row in scan::parts(text, list.value).take(N_PLANTINGS) {
            match list.name {
                "plantings" => {
                    planting(text, row.value.clone(), &mut changes);
                    happened.extend(take_real(text, row.value, &mut changes)?.unwrap_or_default());
                    if happened.len() > N_HAPPENED {
                        return Err(format!("it tells of more than {N_HAPPENED} days on which something happened"));
                    }
                }
                "accepted" => accepted(text, row.value, &mut changes),
                "own_crops" => own_crop(text, row.value, &mut changes),
                _ => break,
            }
        }
    }
    if let Some(end) = plantings_end.filter(|_| !happened.is_empty()) {
        changes.put(end..end, list_of(happened));
    }
    Ok(changes.made_in(text))
}

/// The text of a record, without the number of its form. What happened to a planting is in its garden's list by now: `real_of` says
/// what that tells, and a record that tells otherwise is refused.
pub fn of_record(text: &str, real_of: &dyn Fn(PlantingId) -> RealDates) -> Result<String, String> {
    let mut changes = Changes::default();
    for part in scan::parts(text, 0..text.len()).filter(|part| part.name == "edit") {
        edit(text, part.value, &mut changes, real_of, DEPTH_MOST)?;
    }
    Ok(changes.made_in(text))
}

fn edit(
    text: &str,
    at: Range<usize>,
    changes: &mut Changes,
    real_of: &dyn Fn(PlantingId) -> RealDates,
    depth_left: usize,
) -> Result<(), String> {
    let Some(depth_left) = depth_left.checked_sub(1) else { return Ok(()) };
    for part in scan::parts(text, at.clone()) {
        match scan::name_of(text, at.clone()) {
            "AddPlanting" | "ChangePlanting" => {
                let told = take_real(text, part.value.clone(), changes)?.unwrap_or_default();
                if let Some(id) = number_of(text, &fields_of(text, part.value.clone()))
                    && RealDates::of_rows(&told) != real_of(id)
                {
                    return Err(format!("it changes what happened to {id}, which a list of its own tells now"));
                }
                planting(text, part.value, changes);
            }
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
                    edit(text, inner.value, changes, real_of, depth_left)?;
                }
            }
            _ => {}
        }
    }
    Ok(())
}

/// What happened to a planting as format 1 wrote it.
#[derive(Debug, Default, Deserialize)]
#[serde(rename = "RealDates", deny_unknown_fields, default)]
struct RealOf1 {
    sow: Option<NaiveDate>,
    emerge: Option<NaiveDate>,
    plant: Option<NaiveDate>,
    first_pick: Option<NaiveDate>,
    last_pick: Option<NaiveDate>,
    clear: Option<NaiveDate>,
    #[serde(deserialize_with = "at_most::<N_RECORDS, _, _>")]
    picked_g: Vec<(NaiveDate, u32)>,
    #[serde(deserialize_with = "at_most::<N_RECORDS, _, _>")]
    lost_plants: Vec<(NaiveDate, u32)>,
    ended: Option<Ending>,
}

impl RealOf1 {
    /// A row for each thing it tells, by day, without numbers. That something ended on no day that is known has none.
    fn rows(&self, planting: PlantingId) -> Vec<Happened> {
        let row = |date, what| Happened { id: EntryId::NONE, planting, date, what };
        let once = [(self.sow, Happening::Sown), (self.emerge, Happening::Emerged), (self.plant, Happening::Planted)];
        let mut rows: Vec<_> = once.into_iter().filter_map(|(date, what)| Some(row(date?, what))).collect();
        let picked = |g, is_last| Happening::Picked { g, pieces: None, household: None, is_last };
        rows.extend(self.picked_g.iter().map(|(date, g)| row(*date, picked(Some(*g), false))));
        let weighed_on = |rows: &[Happened], day| {
            rows.iter().rposition(|row| row.date == day && matches!(row.what, Happening::Picked { .. }))
        };
        // Days of which no weight is known.
        if let Some(first) = self.first_pick.filter(|day| weighed_on(&rows, *day).is_none()) {
            rows.push(row(first, picked(None, false)));
        }
        if let Some(last) = self.last_pick {
            match weighed_on(&rows, last).and_then(|at| rows.get_mut(at)) {
                Some(Happened { what: Happening::Picked { is_last, .. }, .. }) => *is_last = true,
                _ => rows.push(row(last, picked(None, true))),
            }
        }
        rows.extend(
            self.lost_plants.iter().map(|(date, plants)| row(*date, Happening::Lost { plants: *plants, why: None })),
        );
        rows.extend(self.clear.map(|date| row(date, Happening::Ended { why: self.ended })));
        rows.sort_by_key(|row| row.date);
        rows
    }
}

/// The fields of a row; more than any has are refused by the reader.
fn fields_of(text: &str, at: Range<usize>) -> Vec<scan::Part<'_>> {
    scan::parts(text, at).take(FIELDS_MOST).collect()
}

fn number_of(text: &str, fields: &[scan::Part<'_>]) -> Option<PlantingId> {
    let id = fields.iter().find(|field| field.name == "id")?;
    ron::from_str(text.get(id.value.clone())?).ok()
}

/// Takes what happened out of a planting; comments in it stay. Why it ended, if it is not known when, goes into its notes.
fn take_real(text: &str, at: Range<usize>, changes: &mut Changes) -> Result<Option<Vec<Happened>>, String> {
    let fields = fields_of(text, at);
    let Some(field) = fields.iter().find(|field| field.name == "real") else { return Ok(None) };
    let Some(id) = number_of(text, &fields) else { return Ok(None) };
    let written_so = text.get(field.value.clone()).unwrap_or_default();
    let real: RealOf1 = ron_options()
        .from_str(written_so)
        .map_err(|error| format!("what happened to {id} (`real`) is not readable: {}", error.code))?;
    let mut left = String::new();
    for said in scan::comments(text, field.value.clone()) {
        left.push_str(said);
        left.push('\n');
    }
    let mut comma = scan::after_space(text, field.value.end);
    if let Some(why) = real.ended.filter(|_| real.clear.is_none()) {
        let why = format!("ended, on a day that is not known: {why:?}");
        let notes = fields.iter().find(|field| field.name == "notes").map(|field| field.value.clone());
        let noted = |notes: &Range<usize>| ron::from_str::<String>(text.get(notes.clone())?).ok();
        match notes.as_ref().and_then(noted).zip(notes) {
            Some((noted, at)) => changes.put(at, written(&format!("{noted}\n{why}")).unwrap_or_default()),
            None => {
                left.push_str(&format!("notes: {}", written(&why).unwrap_or_default()));
                comma = text.len();
            }
        }
    }
    changes.put(field.start..field.value.end, left);
    if text.get(comma..).is_some_and(|rest| rest.starts_with(',')) {
        changes.put(comma..comma + 1, "");
    }
    Ok(Some(real.rows(id)))
}

/// The list, to stand behind the value of a field: day by day.
fn list_of(mut rows: Vec<Happened>) -> String {
    rows.sort_by_key(|row| row.date);
    let mut out = String::from(",\n    happened: [\n");
    let mut id = EntryId::NONE;
    for row in rows {
        id = id.next();
        out.push_str("        ");
        out.push_str(&written(&Happened { id, ..row }).unwrap_or_default());
        out.push_str(",\n");
    }
    out.push_str("    ]");
    out
}

fn planting(text: &str, at: Range<usize>, changes: &mut Changes) {
    for field in fields_of(text, at) {
        if field.name == "raised" {
            raised(text, field.value, changes);
        }
    }
}

fn own_crop(text: &str, at: Range<usize>, changes: &mut Changes) {
    for seed in fields_of(text, at).into_iter().filter(|field| field.name == "seed") {
        for ways in fields_of(text, seed.value).into_iter().filter(|field| field.name == "raised") {
            for way in fields_of(text, ways.value) {
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
    let fields = fields_of(text, at);
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

    /// Worked out by hand. The first pick has no weight of its own, the last has one.
    #[test]
    fn what_happened_goes_into_a_list_and_nothing_of_it_is_lost() {
        let text = "(plantings: [(id: 3, clump: 1, real: (sow: \"2027-03-28\", // in the dry\n first_pick: \"2027-07-05\", \
            last_pick: \"2027-08-02\", clear: \"2027-08-10\", picked_g: [(\"2027-07-12\", 800), (\"2027-08-02\", 1200)], \
            lost_plants: [(\"2027-05-01\", 20)], ended: Harvested), notes: \"real: (\"),\n\
            (id: 1, real: RealDates(plant: Some(\"2027-03-28\"), emerge: \"2027-04-02\") /* so */ ,), \
            (id: 7, real: (first_pick: \"2027-05-30\", last_pick: \"2027-05-30\"))], past: [])";
        let expected = "(plantings: [(id: 3, clump: 1, // in the dry\n notes: \"real: (\"),\n\
            (id: 1,  /* so */ ), \
            (id: 7, )],\n    happened: [\n        \
            (id: 1, planting: 3, date: \"2027-03-28\", what: Sown),\n        \
            (id: 2, planting: 1, date: \"2027-03-28\", what: Planted),\n        \
            (id: 3, planting: 1, date: \"2027-04-02\", what: Emerged),\n        \
            (id: 4, planting: 3, date: \"2027-05-01\", what: Lost(plants: 20)),\n        \
            (id: 5, planting: 7, date: \"2027-05-30\", what: Picked(is_last: true)),\n        \
            (id: 6, planting: 3, date: \"2027-07-05\", what: Picked()),\n        \
            (id: 7, planting: 3, date: \"2027-07-12\", what: Picked(g: 800)),\n        \
            (id: 8, planting: 3, date: \"2027-08-02\", what: Picked(g: 1200, is_last: true)),\n        \
            (id: 9, planting: 3, date: \"2027-08-10\", what: Ended(why: Harvested)),\n    ], past: [])";
        assert_eq!(of_file(text).unwrap(), expected);
        assert_eq!(of_file(expected).unwrap(), expected);
    }

    #[test]
    fn why_a_planting_ended_goes_into_its_notes_if_its_day_is_not_known() {
        for (text, expected) in [
            (
                "(plantings: [(id: 3, real: (ended: Frost), clump: 1)])",
                "(plantings: [(id: 3, notes: \"ended, on a day that is not known: Frost\", clump: 1)])",
            ),
            (
                "(plantings: [(id: 3, notes: \"a \\\"b\\\"\", real: (ended: Frost))])",
                "(plantings: [(id: 3, notes: \"a \\\"b\\\"\\nended, on a day that is not known: Frost\", )])",
            ),
        ] {
            assert_eq!(of_file(text).unwrap(), expected);
        }
    }

    #[test]
    fn what_happened_is_refused_in_words_if_it_cannot_be_read() {
        let why = of_file("(plantings: [(id: 3, real: (sow: \"2027-02-30\"))])").unwrap_err();
        assert!(why.starts_with("what happened to p3 (`real`) is not readable: "), "{why}");
        for real in ["(sown: \"2027-02-03\")", "7", "(picked_g: [(\"2027-02-03\", -1)])"] {
            assert!(of_file(&format!("(plantings: [(id: 3, real: {real})])")).is_err(), "{real}");
        }
        let pick = "(\"2027-02-03\",1),";
        let planting = |id: usize| format!("(id: {id}, real: (picked_g: [{}])),", pick.repeat(N_RECORDS));
        let many: String = (0..=N_HAPPENED / N_RECORDS).map(planting).collect();
        let why = of_file(&format!("(plantings: [{many}])")).unwrap_err();
        assert_eq!(why, "it tells of more than 120000 days on which something happened");
    }

    #[test]
    fn a_torn_text_is_left_for_the_reader_to_complain_of() {
        for text in ["", "(", "(plantings: [(raised: Direct", "[Direct]", "(plantings: Direct", "(own_crops: [(seed: ["]
        {
            assert_eq!(of_file(text).unwrap().replace("InPlace", "Direct"), text);
            assert_eq!(of_record(text, &|_| RealDates::default()).unwrap(), text);
        }
    }
}
