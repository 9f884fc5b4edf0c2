//! A planting as fields of the form, and back.

use chrono::NaiveDate;

use crate::crops::{Crop, Raised};
use crate::garden::{Layout, PlannedDates, Planting, PlantingId, Run, Side, limits};
use crate::layout::{ByBook, by_book};
use crate::season::Plan;
use crate::tui::widgets::fields::{Fields, Kind};
use crate::tui::widgets::text;
use crate::units::Mm;
use crate::words::{decimal, edge_word, layout_name, raised_choice, run_word, side_word};

/// Layouts by the word of the form.
pub const LAYOUTS: [&str; 7] = ["grid", "offset", "rows", "drill", "edge", "between", "broadcast"];

const SIDES: [Side; 3] = [Side::Whole, Side::Left, Side::Right];
const RUNS: [Run; 2] = [Run::Along, Run::Across];
const WAYS: [Raised; 7] =
    [Raised::InPlace, Raised::Module, Raised::Set, Raised::Tuber, Raised::Crown, Raised::Slip, Raised::Cutting];

/// Fields shown for each layout.
const LAYOUT_FIELDS: [(&str, &[&str]); 10] = [
    ("spacing", &["grid", "offset"]),
    ("row", &["rows", "drill"]),
    ("in_row", &["rows"]),
    ("per_m", &["drill"]),
    ("run", &["rows", "drill"]),
    ("edge_spacing", &["edge"]),
    ("along", &["edge"]),
    ("host", &["between"]),
    ("per_m2", &["broadcast"]),
    ("clump", &["grid", "offset", "rows", "edge", "between"]),
];

/// What is wrong with a field, in words.
pub type Troubles = Vec<(&'static str, String)>;

/// The value that a word of the form means.
fn meant<T: Copy>(all: &[T], word: impl Fn(T) -> &'static str, typed: &str) -> Option<T> {
    all.iter().copied().find(|one| word(*one) == typed)
}

fn choice<T: Copy>(all: &[T], word: impl Fn(T) -> &'static str) -> Kind {
    Kind::Choice(all.iter().map(|one| word(*one).to_owned()).collect())
}

/// What each layout starts from for a crop; a crop that is not known starts from nothing but the planting itself.
pub fn start_of(crop: Option<&Crop>) -> Option<ByBook> {
    crop.map(by_book)
}

/// Plantings of a bed between whose stations another may stand, with the words of the form.
pub fn hosts(plan: &Plan, bed_id: &str, but: PlantingId) -> Vec<(String, PlantingId)> {
    let Some(bed) = plan.bed_idx(bed_id).and_then(|idx| plan.beds().get(idx)) else { return Vec::new() };
    let mut hosts: Vec<(String, PlantingId)> = bed
        .standing
        .iter()
        .filter_map(|standing| plan.garden().planting(standing.id).map(|planting| (standing, planting)))
        .filter(|(_, planting)| planting.id != but)
        .filter(|(_, planting)| {
            matches!(planting.layout, Layout::Grid { .. } | Layout::Offset { .. } | Layout::Rows { .. })
        })
        .map(|(standing, planting)| {
            let crop = plan.book().crop(&planting.crop);
            let name = crop.map_or(planting.crop.as_str(), |crop| crop.short_name.as_str());
            (format!("{name}, in {}", text::day(standing.stages.enters)), planting.id)
        })
        .collect();
    // Two of one crop and day are told apart by their numbers.
    for idx in 1..hosts.len() {
        if hosts[..idx].iter().any(|(words, _)| *words == hosts[idx].0) {
            let id = hosts[idx].1;
            hosts[idx].0.push_str(&format!(" {id}"));
        }
    }
    hosts
}

/// The ways of raising a crop, the planting's own among them.
fn ways(crop: Option<&Crop>, own: Raised) -> Kind {
    let mut ways: Vec<Raised> = crop.map_or_else(Vec::new, |crop| crop.seed.raised.clone());
    if !ways.contains(&own) {
        ways.push(own);
    }
    choice(&ways, raised_choice)
}

/// Fields filled from a planting.
pub fn fields_of(plan: &Plan, planting: &Planting, hosts: &[(String, PlantingId)]) -> Fields {
    let crop = plan.book().crop(&planting.crop);
    let start = start_of(crop);
    let cm = Kind::Cm { step_mm: 100 };
    let fine = Kind::Cm { step_mm: 10 };
    let bed_ids = plan.garden().beds.iter().map(|bed| bed.id.clone()).collect();
    let mut spacing = start.map_or(Mm(300), |start| start.spacing_mm);
    let mut row = start.map_or(Mm(300), |start| start.row_mm);
    let mut in_row = start.map_or(Mm(300), |start| start.in_row_mm);
    let mut edge_spacing = in_row;
    let mut per_m = start.map_or(10.0, |start| start.plants_per_m);
    let mut per_m2 = start.map_or(200.0, |start| start.plants_per_m2);
    let mut run = Run::Along;
    let mut along = Side::Whole;
    let mut host = hosts.first().map(|(words, _)| words.clone());
    match &planting.layout {
        Layout::Grid { spacing_mm } | Layout::Offset { spacing_mm } => spacing = *spacing_mm,
        Layout::Rows { row_mm, in_row_mm, run: own } => (row, in_row, run) = (*row_mm, *in_row_mm, *own),
        Layout::Drill { row_mm, plants_per_m, run: own } => (row, per_m, run) = (*row_mm, *plants_per_m, *own),
        Layout::Edge { spacing_mm, along: own } => (edge_spacing, along) = (*spacing_mm, *own),
        Layout::Between { host: id } => {
            host = hosts.iter().find(|(_, known)| known == id).map(|(words, _)| words.clone());
        }
        Layout::Broadcast { plants_per_m2 } => per_m2 = *plants_per_m2,
    }
    let date = |day: Option<NaiveDate>| day.map_or_else(String::new, |day| day.to_string());
    let (planned, mut fields) = (&planting.planned, Fields::default());
    let f = &mut fields;
    f.add("bed", "bed", Kind::Choice(bed_ids), &planting.bed, "");
    f.add("variety", "variety", Kind::Text(limits::NAME_CHARS), &planting.variety, "any");
    f.add("from", "from cm", cm.clone(), &planting.from_mm.to_string(), "");
    f.add("to", "to cm", cm, &planting.to_mm.to_string(), "");
    f.add("side", "side", choice(&SIDES, side_word), side_word(planting.side), "");
    let layouts = Kind::Choice(LAYOUTS.iter().map(|word| (*word).to_owned()).collect());
    f.add("layout", "layout", layouts, layout_name(&planting.layout), "");
    f.add("spacing", "spacing cm", fine.clone(), &spacing.to_string(), "");
    f.add("row", "rows cm", fine.clone(), &row.to_string(), "");
    f.add("in_row", "in row cm", fine.clone(), &in_row.to_string(), "");
    f.add("per_m", "per metre", Kind::Decimal, &decimal(per_m), "");
    f.add("run", "rows run", choice(&RUNS, run_word), run_word(run), "");
    f.add("edge_spacing", "spacing cm", fine.clone(), &edge_spacing.to_string(), "");
    f.add("along", "edge", choice(&SIDES, edge_word), edge_word(along), "");
    let host_words = hosts.iter().map(|(words, _)| words.clone()).collect();
    f.add("host", "host", Kind::Choice(host_words), host.as_deref().unwrap_or("none"), "");
    f.add("per_m2", "per sq. m", Kind::Decimal, &decimal(per_m2), "");
    f.add("clump", "clump", Kind::Count, &planting.clump.to_string(), "");
    let setback = planting.setback_mm.map_or_else(String::new, |mm| mm.to_string());
    f.add("setback", "setback cm", fine, &setback, "half the spacing");
    f.add("raised", "raised", ways(crop, planting.raised), raised_choice(planting.raised), "");
    f.add("sow", "sow", Kind::Date, &date(planned.sow), "");
    f.add("plant", "plant", Kind::Date, &date(planned.plant), "");
    f.add("first_pick", "first pick", Kind::Date, &date(planned.first_pick), "");
    f.add("last_pick", "last pick", Kind::Date, &date(planned.last_pick), "");
    f.add("clear", "clear", Kind::Date, &date(planned.clear), "");
    f.add("notes", "notes", Kind::Text(limits::NOTES_CHARS), &planting.notes, "");
    show_what_is_needed(f);
    fields
}

/// Shows the fields that the chosen layout and way of raising need.
pub fn show_what_is_needed(fields: &mut Fields) {
    let layout = fields.value("layout").to_owned();
    for (name, layouts) in LAYOUT_FIELDS {
        fields.show(name, layouts.contains(&layout.as_str()));
    }
    fields.show("setback", layout != "between");
    let raised = raised(fields);
    fields.show("sow", matches!(raised, Some(Raised::InPlace | Raised::Module)));
    fields.show("plant", raised != Some(Raised::InPlace));
}

/// The way of raising that is chosen.
pub fn raised(fields: &Fields) -> Option<Raised> {
    meant(&WAYS, raised_choice, fields.value("raised"))
}

/// Plants at a station that the book gives for a layout.
pub fn book_clump(start: &ByBook, layout: &str) -> u32 {
    match layout {
        "rows" | "edge" => start.row_clump,
        _ => start.clump,
    }
}

/// The planting that the fields describe; `base` gives what the form does not show.
pub fn planting_of(
    fields: &Fields,
    base: &Planting,
    hosts: &[(String, PlantingId)],
    bed_length: Option<Mm>,
) -> Result<Planting, Troubles> {
    let mut troubles = Troubles::new();
    let from_mm = cm(fields, "from", &mut troubles);
    let to_mm = cm(fields, "to", &mut troubles);
    if let (Some(from), Some(to)) = (from_mm, to_mm) {
        if let Some(length) = bed_length.filter(|length| to > *length) {
            troubles.push(("to", format!("the bed is {length} cm long")));
        } else if from >= to {
            troubles.push(("to", format!("the strip must end after its start at {from} cm")));
        }
    }
    let layout = layout_of(fields, hosts, &mut troubles);
    let has_clump = !matches!(fields.value("layout"), "drill" | "broadcast");
    let clump = if has_clump { count(fields, "clump", &mut troubles) } else { Some(1) };
    let setback_mm = match fields.value("setback").trim() {
        "" => None,
        _ => cm(fields, "setback", &mut troubles),
    };
    let raised = raised(fields).unwrap_or(base.raised);
    let mut planned = PlannedDates {
        first_pick: date(fields, "first_pick", &mut troubles),
        last_pick: date(fields, "last_pick", &mut troubles),
        clear: date(fields, "clear", &mut troubles),
        ..PlannedDates::default()
    };
    if matches!(raised, Raised::InPlace | Raised::Module) {
        planned.sow = date(fields, "sow", &mut troubles);
    }
    if raised != Raised::InPlace {
        planned.plant = date(fields, "plant", &mut troubles);
    }
    let (Some(from_mm), Some(to_mm), Some(layout), Some(clump), true) =
        (from_mm, to_mm, layout, clump, troubles.is_empty())
    else {
        return Err(troubles);
    };
    Ok(Planting {
        bed: fields.value("bed").to_owned(),
        variety: fields.value("variety").trim().to_owned(),
        from_mm,
        to_mm,
        side: meant(&SIDES, side_word, fields.value("side")).unwrap_or(base.side),
        layout,
        setback_mm,
        clump,
        raised,
        planned,
        notes: fields.value("notes").trim().to_owned(),
        ..base.clone()
    })
}

fn layout_of(fields: &Fields, hosts: &[(String, PlantingId)], troubles: &mut Troubles) -> Option<Layout> {
    let run = meant(&RUNS, run_word, fields.value("run")).unwrap_or_default();
    Some(match fields.value("layout") {
        "offset" => Layout::Offset { spacing_mm: distance(fields, "spacing", troubles)? },
        "rows" => {
            let (row, in_row) = (distance(fields, "row", troubles), distance(fields, "in_row", troubles));
            Layout::Rows { row_mm: row?, in_row_mm: in_row?, run }
        }
        "drill" => {
            let (row, per_m) = (distance(fields, "row", troubles), density(fields, "per_m", troubles));
            Layout::Drill { row_mm: row?, plants_per_m: per_m?, run }
        }
        "edge" => Layout::Edge {
            spacing_mm: distance(fields, "edge_spacing", troubles)?,
            along: meant(&SIDES, edge_word, fields.value("along")).unwrap_or_default(),
        },
        "between" => match hosts.iter().find(|(words, _)| words == fields.value("host")) {
            Some((_, host)) => Layout::Between { host: *host },
            None => {
                let words = if hosts.is_empty() {
                    "nothing in this bed is set out as grid, offset or rows"
                } else {
                    "choose a planting set out as grid, offset or rows"
                };
                troubles.push(("host", words.to_owned()));
                return None;
            }
        },
        "broadcast" => Layout::Broadcast { plants_per_m2: density(fields, "per_m2", troubles)? },
        _ => Layout::Grid { spacing_mm: distance(fields, "spacing", troubles)? },
    })
}

fn cm(fields: &Fields, name: &'static str, troubles: &mut Troubles) -> Option<Mm> {
    match Mm::parse_cm(fields.value(name)) {
        Ok(mm) => Some(mm),
        Err(_) if fields.value(name).trim().is_empty() => {
            troubles.push((name, "a length in cm is needed".to_owned()));
            None
        }
        Err(error) => {
            troubles.push((name, error.to_string()));
            None
        }
    }
}

fn distance(fields: &Fields, name: &'static str, troubles: &mut Troubles) -> Option<Mm> {
    let mm = cm(fields, name, troubles)?;
    if mm > Mm::ZERO {
        return Some(mm);
    }
    troubles.push((name, "a distance above 0 is needed".to_owned()));
    None
}

fn density(fields: &Fields, name: &'static str, troubles: &mut Troubles) -> Option<f64> {
    let typed = fields.value(name).trim();
    match typed.replace(',', ".").parse::<f64>() {
        Ok(number) if number.is_finite() && number > 0.0 => Some(number),
        _ => {
            troubles.push((name, format!("`{typed}` is not a number above 0")));
            None
        }
    }
}

fn count(fields: &Fields, name: &'static str, troubles: &mut Troubles) -> Option<u32> {
    let typed = fields.value(name).trim();
    match typed.parse::<u32>() {
        Ok(n) if n >= 1 => Some(n),
        _ => {
            troubles.push((name, format!("`{typed}` is not a count of 1 or more")));
            None
        }
    }
}

/// A day; empty is "work it out".
fn date(fields: &Fields, name: &'static str, troubles: &mut Troubles) -> Option<NaiveDate> {
    let typed = fields.value(name).trim();
    if typed.is_empty() {
        return None;
    }
    match typed.parse::<NaiveDate>() {
        Ok(day) => Some(day),
        Err(_) => {
            troubles.push((name, format!("`{typed}` is not a day such as 2027-04-05")));
            None
        }
    }
}
