//! The sky of a week in one line, and the chart of weeks sown and picked.

use std::collections::BTreeMap;

use super::text;
use crate::garden::Cover;
use crate::tui::session::Session;
use crate::units::Week;

/// Covers of the chart, with their headings.
const COVERS: [(&str, Cover); 6] = [
    ("open", Cover::Open),
    ("fleece", Cover::Fleece),
    ("mesh", Cover::Mesh),
    ("cloche", Cover::Cloche),
    ("tunnel", Cover::UnheatedTunnel),
    ("glass", Cover::Glass),
];
/// Cells of a column of the chart.
const CHART_CELLS: usize = 7;

/// `day 13.9 h, mean 8 °C, frost 34 %, evaporation 2.1 mm a day`; nothing where no climate is known.
pub fn words(session: &Session, week: Week) -> Option<String> {
    let sky = session.plan.week_sky(week)?;
    Some(format!(
        "day {:.1} h, mean {:.0} °C, frost {:.0} %, evaporation {:.1} mm a day",
        sky.day_length_h,
        sky.mean_c,
        sky.frost_chance * 100.0,
        sky.evaporation_mm_day
    ))
}

/// Lines of the chart "sown in this week, first picked in that one, under each cover", every other week.
pub fn chart(session: &Session, crop_id: &str) -> Vec<String> {
    let mut rows: BTreeMap<Week, [Option<Week>; COVERS.len()]> = BTreeMap::new();
    for (column, (_, cover)) in COVERS.iter().enumerate() {
        for &(sown, picked) in session.plan.sow_chart(crop_id, *cover).iter() {
            if let Some(cell) = rows.entry(sown).or_default().get_mut(column) {
                *cell = Some(picked);
            }
        }
    }
    let first = rows.keys().next().copied();
    let mut lines = Vec::new();
    for (sown, picks) in rows {
        if first.is_none_or(|first| sown.weeks_since(first) % 2 != 0) {
            continue;
        }
        if lines.is_empty() {
            let heads: String = COVERS.iter().map(|(word, _)| text::fill(word, CHART_CELLS, "")).collect();
            lines.push(format!("sown    {heads}"));
        }
        let cells: String = picks
            .iter()
            .map(|picked| {
                let words = picked.map_or_else(String::new, |picked| {
                    let later = if picked.iso_year() > sown.iso_year() { "+" } else { "" };
                    format!("W{:02}{later}", picked.number())
                });
                text::fill(&words, CHART_CELLS, "")
            })
            .collect();
        lines.push(format!("W{:02}     {cells}", sown.number()).trim_end().to_owned());
    }
    lines
}
