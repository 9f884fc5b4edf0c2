//! The plantings as a table, for a spreadsheet: a row for each, in order of beds and of the day it goes in.
//!
//! Comma-separated values as RFC 4180 describes them: CRLF at the end of every line, a line of names first, quotes doubled
//! within quotes. Dates are ISO 8601, lengths in cm with a decimal point, text is UTF-8.
//!
//! A spreadsheet takes a cell that begins with `=`, `+`, `-` or `@` for a formula, and a formula can fetch or send
//! what its reader would not. So such text is given a leading apostrophe, and all text is quoted, or a semicolon in it could
//! begin a cell of its own (OWASP, "CSV Injection", from memory).

use chrono::NaiveDate;
use csv::{QuoteStyle, Terminator, WriterBuilder};
use serde::Serialize;

use crate::garden::{Layout, Planting, PlantingId, Severity, Side};
use crate::layout::SowingNeed;
use crate::season::{Jobs, Plan, Standing};
use crate::units::Mm;
use crate::units::text::shown;
use crate::words::{layout_name, layout_words, raised_words, setback_words};

/// One planting. What cannot be worked out is `None`, and an empty cell.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PlantingRow {
    /// Its number, such as `p12`.
    pub planting: String,
    /// The bed's id.
    pub bed: String,
    /// The bed's name, or nothing.
    pub bed_name: String,
    /// The crop's name; its id where no book knows it.
    pub crop: String,
    /// The crop's id.
    pub crop_id: String,
    /// Variety, or nothing.
    pub variety: String,
    /// Botanical name of the family.
    pub family: Option<String>,
    /// Start of its strip along the bed.
    pub from_cm: f64,
    /// End of its strip along the bed.
    pub to_cm: f64,
    /// `whole`, `left` or `right`.
    pub side: &'static str,
    /// The layout's word.
    pub layout: &'static str,
    /// The layout with its distances, in words.
    pub set_out: String,
    /// The planting between whose stations it stands.
    pub host: Option<String>,
    /// How it is raised, in words.
    pub raised: &'static str,
    /// Plants at each station.
    pub clump: u32,
    /// Stations.
    pub stations: Option<u64>,
    /// Plants.
    pub plants: Option<u64>,
    /// Seeds, sets, tubers, crowns, slips or cuttings, spares included.
    pub seeds: Option<u64>,
    /// Weight of the seed, where the book counts seeds in a gram.
    pub seed_g: Option<f64>,
    /// Modules, where it is raised in them.
    pub modules: Option<u64>,
    /// Trays for these.
    pub trays: Option<u64>,
    /// Its days.
    #[serde(flatten)]
    pub days: Days,
    /// Open findings against a rule.
    pub n_breaches: usize,
    /// Open findings to think twice about.
    pub n_cautions: usize,
    /// Open findings worth knowing.
    pub n_notes: usize,
    /// Findings that the grower lives with.
    pub n_accepted: usize,
    /// The grower's own words.
    pub notes: String,
}

/// The days of a planting; in one year of ten each is earlier than its early end, in one later than its late end.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize)]
pub struct Days {
    /// Sown; nothing for sets, tubers and the like.
    pub sow: Option<NaiveDate>,
    /// Goes into the bed.
    pub enters: Option<NaiveDate>,
    /// First picked.
    pub first_pick: Option<NaiveDate>,
    /// Last picked.
    pub last_pick: Option<NaiveDate>,
    /// First day on which its ground is free again.
    pub clear: Option<NaiveDate>,
    /// Early end of `sow`.
    pub sow_early: Option<NaiveDate>,
    /// Late end of `sow`.
    pub sow_late: Option<NaiveDate>,
    /// Early end of `enters`.
    pub enters_early: Option<NaiveDate>,
    /// Late end of `enters`.
    pub enters_late: Option<NaiveDate>,
    /// Early end of `first_pick`.
    pub first_pick_early: Option<NaiveDate>,
    /// Late end of `first_pick`.
    pub first_pick_late: Option<NaiveDate>,
    /// Early end of `last_pick`.
    pub last_pick_early: Option<NaiveDate>,
    /// Late end of `last_pick`.
    pub last_pick_late: Option<NaiveDate>,
    /// Early end of `clear`.
    pub clear_early: Option<NaiveDate>,
    /// Late end of `clear`.
    pub clear_late: Option<NaiveDate>,
}

/// A row for each planting of the plan, those without dates included; made one by one, as there may be many.
pub fn planting_rows(plan: &Plan) -> impl Iterator<Item = PlantingRow> {
    let garden = plan.garden();
    let mut counts = std::collections::HashMap::<PlantingId, [usize; 4]>::new();
    for finding in plan.findings() {
        let Some(id) = finding.planting else { continue };
        let count = counts.entry(id).or_default();
        let idx = match (finding.accepted.is_some(), finding.severity) {
            (true, _) => 3,
            (false, Severity::Note) => 2,
            (false, Severity::Caution) => 1,
            (false, Severity::Breach) => 0,
        };
        count[idx] += 1;
    }
    let mut order: Vec<_> = garden
        .plantings
        .iter()
        .map(|planting| {
            let standing = plan.standing(planting.id);
            let enters = standing.map_or(NaiveDate::MAX, |standing| standing.stages.enters);
            (plan.bed_idx(&planting.bed), enters, planting, standing)
        })
        .collect();
    order.sort_by_key(|(bed_idx, enters, planting, _)| (*bed_idx, *enters, planting.id));
    let jobs = Jobs::of_plan(plan);
    order.into_iter().map(move |(_, _, planting, standing)| {
        let need = jobs.planting(planting.id).map(|one| &one.need);
        row(plan, planting, standing, need, counts.get(&planting.id).copied().unwrap_or_default())
    })
}

fn row(
    plan: &Plan,
    planting: &Planting,
    standing: Option<&Standing>,
    need: Option<&SowingNeed>,
    n_findings: [usize; 4],
) -> PlantingRow {
    let crop = plan.book().crop(&planting.crop);
    let family = crop.and_then(|crop| plan.book().family(&crop.family));
    let in_modules = need.filter(|need| need.n_modules > 0);
    let [n_breaches, n_cautions, n_notes, n_accepted] = n_findings;
    PlantingRow {
        planting: planting.id.to_string(),
        bed: planting.bed.clone(),
        bed_name: plan.bed_idx(&planting.bed).map_or(String::new(), |idx| plan.garden().beds[idx].name.clone()),
        crop: crop.map_or_else(|| planting.crop.clone(), |crop| crop.name.clone()),
        crop_id: planting.crop.clone(),
        variety: planting.variety.clone(),
        family: family.map(|family| family.botanical.clone()),
        from_cm: cm(planting.from_mm),
        to_cm: cm(planting.to_mm),
        side: match planting.side {
            Side::Whole => "whole",
            Side::Left => "left",
            Side::Right => "right",
        },
        layout: layout_name(&planting.layout),
        set_out: layout_words(&planting.layout) + &setback_words(&planting.layout, planting.setback_mm),
        host: match planting.layout {
            Layout::Between { host } => Some(host.to_string()),
            _ => None,
        },
        raised: raised_words(planting.raised),
        clump: planting.clump,
        stations: standing.map(|standing| standing.n_stations),
        plants: standing.map(|standing| standing.n_plants),
        seeds: need.map(|need| need.n_seeds),
        seed_g: need.and_then(|need| need.seed_g),
        modules: in_modules.map(|need| need.n_modules),
        trays: in_modules.map(|need| need.n_trays),
        days: days(plan, standing),
        n_breaches,
        n_cautions,
        n_notes,
        n_accepted,
        notes: planting.notes.clone(),
    }
}

fn cm(length: Mm) -> f64 {
    f64::from(length.0) / 10.0
}

fn days(plan: &Plan, standing: Option<&Standing>) -> Days {
    let Some(standing) = standing else { return Days::default() };
    let stages = standing.stages;
    let (early, late) = plan.spread(standing.id).map_or((stages, stages), |spread| (spread.early, spread.late));
    Days {
        sow: stages.sow,
        enters: Some(stages.enters),
        first_pick: Some(stages.first_pick),
        last_pick: Some(stages.last_pick),
        clear: Some(stages.clear),
        sow_early: early.sow,
        sow_late: late.sow,
        enters_early: Some(early.enters),
        enters_late: Some(late.enters),
        first_pick_early: Some(early.first_pick),
        first_pick_late: Some(late.first_pick),
        last_pick_early: Some(early.last_pick),
        last_pick_late: Some(late.last_pick),
        clear_early: Some(early.clear),
        clear_late: Some(late.clear),
    }
}

/// Names of the columns, in order.
pub const PLANTING_COLUMNS: [&str; 41] = [
    "planting",
    "bed",
    "bed_name",
    "crop",
    "crop_id",
    "variety",
    "family",
    "from_cm",
    "to_cm",
    "side",
    "layout",
    "set_out",
    "host",
    "raised",
    "clump",
    "stations",
    "plants",
    "seeds",
    "seed_g",
    "modules",
    "trays",
    "sow",
    "enters",
    "first_pick",
    "last_pick",
    "clear",
    "sow_early",
    "sow_late",
    "enters_early",
    "enters_late",
    "first_pick_early",
    "first_pick_late",
    "last_pick_early",
    "last_pick_late",
    "clear_early",
    "clear_late",
    "n_breaches",
    "n_cautions",
    "n_notes",
    "n_accepted",
    "notes",
];

/// The rows as comma-separated values, a line of names first.
///
/// # Errors
/// None that a row can cause: writing into memory does not fail.
pub fn planting_table(rows: &[PlantingRow]) -> Result<String, csv::Error> {
    lines_of(Some(PLANTING_COLUMNS.map(str::to_owned)).into_iter().chain(rows.iter().map(cells)))
}

/// The rows alone, to go on with a table.
///
/// # Errors
/// As [`planting_table`].
pub fn further_rows(rows: &[PlantingRow]) -> Result<String, csv::Error> {
    lines_of(rows.iter().map(cells))
}

fn lines_of(records: impl Iterator<Item = [String; 41]>) -> Result<String, csv::Error> {
    let mut table =
        WriterBuilder::new().terminator(Terminator::CRLF).quote_style(QuoteStyle::NonNumeric).from_writer(Vec::new());
    for record in records {
        table.write_record(record)?;
    }
    let bytes = table.into_inner().map_err(|error| csv::Error::from(error.into_error()))?;
    // Cells are text, so the bytes are.
    Ok(String::from_utf8(bytes).unwrap_or_else(|error| String::from_utf8_lossy(error.as_bytes()).into_owned()))
}

fn cells(row: &PlantingRow) -> [String; 41] {
    fn or_empty<T: ToString>(value: Option<T>) -> String {
        value.map_or(String::new(), |value| value.to_string())
    }
    let day = or_empty::<NaiveDate>;
    let days = &row.days;
    [
        text_cell(&row.planting),
        text_cell(&row.bed),
        text_cell(&row.bed_name),
        text_cell(&row.crop),
        text_cell(&row.crop_id),
        text_cell(&row.variety),
        text_cell(row.family.as_deref().unwrap_or_default()),
        row.from_cm.to_string(),
        row.to_cm.to_string(),
        row.side.to_owned(),
        row.layout.to_owned(),
        text_cell(&row.set_out),
        text_cell(row.host.as_deref().unwrap_or_default()),
        row.raised.to_owned(),
        row.clump.to_string(),
        or_empty(row.stations),
        or_empty(row.plants),
        or_empty(row.seeds),
        row.seed_g.map_or(String::new(), |seed_g| format!("{seed_g:.2}")),
        or_empty(row.modules),
        or_empty(row.trays),
        day(days.sow),
        day(days.enters),
        day(days.first_pick),
        day(days.last_pick),
        day(days.clear),
        day(days.sow_early),
        day(days.sow_late),
        day(days.enters_early),
        day(days.enters_late),
        day(days.first_pick_early),
        day(days.first_pick_late),
        day(days.last_pick_early),
        day(days.last_pick_late),
        day(days.clear_early),
        day(days.clear_late),
        row.n_breaches.to_string(),
        row.n_cautions.to_string(),
        row.n_notes.to_string(),
        row.n_accepted.to_string(),
        text_cell(&row.notes),
    ]
}

/// Text that a spreadsheet takes for text: nothing in it steers or hides (a tab or a line end becomes its symbol), and what
/// looks like a formula, after spaces or in full-width signs too, begins with an apostrophe.
pub fn text_cell(text: &str) -> String {
    let text = shown(text);
    if text.trim_start().starts_with(['=', '+', '-', '@', '＝', '＋', '－', '＠']) {
        format!("'{text}")
    } else {
        text.into_owned()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn a_row(variety: &str, notes: &str) -> PlantingRow {
        PlantingRow {
            planting: "p7".to_owned(),
            bed: "A1".to_owned(),
            bed_name: "by the wall".to_owned(),
            crop: "Leek".to_owned(),
            crop_id: "leek".to_owned(),
            variety: variety.to_owned(),
            family: None,
            from_cm: 0.0,
            to_cm: 240.5,
            side: "whole",
            layout: "grid",
            set_out: "grid 30 cm".to_owned(),
            host: None,
            raised: "in modules",
            clump: 4,
            stations: Some(32),
            plants: Some(128),
            seeds: None,
            seed_g: Some(0.4567),
            modules: None,
            trays: None,
            days: Days { sow: NaiveDate::from_ymd_opt(2027, 4, 12), ..Days::default() },
            n_breaches: 0,
            n_cautions: 1,
            n_notes: 2,
            n_accepted: 0,
            notes: notes.to_owned(),
        }
    }

    #[test]
    fn a_table_is_written_as_rfc_4180_says() {
        let table = planting_table(&[a_row("says \"best\", twice", "")]).unwrap();
        let lines: Vec<&str> = table.split("\r\n").collect();
        assert_eq!((lines.len(), lines[2]), (3, ""), "a line end after every record");
        assert!(!table.replace("\r\n", "").contains(['\r', '\n']));
        assert!(lines[0].starts_with("\"planting\",\"bed\","), "{}", lines[0]);
        assert!(lines[1].contains(",\"says \"\"best\"\", twice\","), "{}", lines[1]);
        assert!(lines[1].contains(",0,240.5,") && lines[1].contains(",0.46,"), "{}", lines[1]);
        assert!(lines[1].contains(",\"2027-04-12\","), "{}", lines[1]);
    }

    #[test]
    fn what_looks_like_a_formula_begins_with_an_apostrophe() {
        for formula in ["=1+1", "+1", "-1", "@sum(A1)", "=cmd|' /C calc'!A0", "  =1", "＝1", "\u{200b}=1"] {
            let cell = text_cell(formula);
            let first = cell.trim_start().chars().next();
            assert!(!matches!(first, Some('=' | '+' | '-' | '@' | '＝' | '＋' | '－' | '＠')), "{cell}");
        }
        assert_eq!(text_cell("=1+1"), "'=1+1");
        assert_eq!(text_cell("\t=1"), "␉=1");
        assert_eq!(text_cell("\r=1\n=2"), "␍=1␊=2");
        assert_eq!(text_cell("a-b; =c"), "a-b; =c", "only the beginning is looked at");
        // A semicolon begins no cell: text is always in quotes.
        let table = planting_table(&[a_row("a;=1", "x\t=2")]).unwrap();
        assert!(table.contains(",\"a;=1\",") && table.contains("\"x␉=2\"\r\n"), "{table}");
    }

    #[test]
    fn the_table_and_json_have_the_same_columns() {
        let json = serde_json::to_value(a_row("", "")).unwrap();
        let mut in_json: Vec<&str> = json.as_object().unwrap().keys().map(String::as_str).collect();
        let mut in_table = PLANTING_COLUMNS.to_vec();
        in_json.sort_unstable();
        in_table.sort_unstable();
        assert_eq!(in_json, in_table);
        let cells = cells(&a_row("", ""));
        let at = |name: &str| PLANTING_COLUMNS.iter().position(|column| *column == name).unwrap();
        for (name, cell) in [("to_cm", "240.5"), ("sow", "2027-04-12"), ("n_notes", "2"), ("clump", "4")] {
            assert_eq!(cells[at(name)], cell, "{name}");
        }
    }
}
