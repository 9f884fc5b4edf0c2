//! The sky of a week in one line, and the chart of weeks sown and picked.

use std::collections::BTreeMap;

use super::text;
use crate::garden::Cover;
use crate::tui::session::Session;
use crate::tui::signs::Signs;
use crate::units::Week;

/// The chart's columns: covers and their headings.
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

/// `day 13.9 h, mean 8 °C, frost 34 %, evaporation 2.1 mm a day`, or the air under a cover: `under the tunnel: day 13.9 h, mean 11 °C,
/// frost 3 %`; nothing where no climate is known.
pub fn words(session: &Session, week: Week, cover: Cover, signs: &Signs) -> Option<String> {
    let sky = session.plan().week_normals(week, cover)?;
    let dries = sky.evaporation_mm_day.map_or_else(String::new, |mm| format!(", evaporation {mm:.1} mm a day"));
    Some(format!(
        "{}day {:.1} h, mean {:.0} {}, frost {:.0} %{dries}",
        under(cover),
        sky.day_length_h,
        sky.mean_c,
        signs.celsius,
        sky.frost_chance * 100.0,
    ))
}

/// The same within a width: first in short words, then without the last parts; `None` if not even the first part fits.
pub fn words_within(session: &Session, week: Week, cover: Cover, cells: usize, signs: &Signs) -> Option<String> {
    let sky = session.plan().week_normals(week, cover)?;
    let long = words(session, week, cover, signs)?;
    if text::width(&long) <= cells {
        return Some(long);
    }
    let mut parts = vec![
        format!("day {:.1} h", sky.day_length_h),
        format!("{:.0} {}", sky.mean_c, signs.celsius),
        format!("frost {:.0} %", sky.frost_chance * 100.0),
    ];
    parts.extend(sky.evaporation_mm_day.map(|mm| format!("dries {mm:.1} mm/day")));
    if cover != Cover::Open {
        // The day's length, the same for all beds, is left out, but not which air is meant.
        parts.remove(0);
    }
    (1..=parts.len())
        .rev()
        .filter_map(|n| parts.get(..n))
        .map(|parts| format!("{}{}", under(cover), parts.join(", ")))
        .find(|part| text::width(part) <= cells)
}

/// Whose air it is.
fn under(cover: Cover) -> &'static str {
    match cover {
        Cover::Open => "",
        Cover::Fleece => "under the fleece: ",
        Cover::Mesh => "under the mesh: ",
        Cover::Cloche => "under the cloche: ",
        Cover::UnheatedTunnel => "under the tunnel: ",
        Cover::Glass => "under the glass: ",
    }
}

/// Lines of the chart: for every other week of sowing, the week of first picking under each cover.
pub fn chart(session: &Session, crop_id: &str) -> Vec<String> {
    let mut rows: BTreeMap<Week, [Option<Week>; COVERS.len()]> = BTreeMap::new();
    for (column, (_, cover)) in COVERS.iter().enumerate() {
        for &(sown, picked) in session.plan().sow_chart(crop_id, *cover).iter() {
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::climate::{self, sun};
    use crate::tui::fixture::{day, garden, look_at};
    use crate::tui::signs::FULL;
    use crate::tui::view::Options;

    #[test]
    fn the_sky_is_that_of_the_site_in_the_middle_of_the_week() {
        let (session, ui) = look_at(garden(), Options::default());
        let site = &session.plan().garden().site;
        let climate = climate::of_site(site, None).unwrap();
        // The week of 12 July 2027; its middle is Thursday the 15th. At 54° north almanacs give 16 h 30 min or so.
        let hours = sun::day_length_h(site.latitude_deg, day("2027-07-15"));
        assert!((16.4..16.7).contains(&hours), "{hours}");
        let days = climate.day_table(2027);
        let week: Vec<_> = day("2027-07-12").iter_days().take(7).map(|date| days.day(date)).collect();
        let mean_c = week.iter().map(|day| day.tmean_c).sum::<f64>() / 7.0;
        let dried_mm = week.iter().map(climate::Day::evaporation_mm).sum::<f64>() / 7.0;
        let frost_pct = climate::frost::chance_in_week(&climate, ui.view.week) * 100.0;
        assert_eq!(
            words(&session, ui.view.week, Cover::Open, &FULL).unwrap(),
            format!(
                "day {hours:.1} h, mean {mean_c:.0} °C, frost {frost_pct:.0} %, evaporation {dried_mm:.1} mm a day"
            )
        );
    }

    #[test]
    fn under_a_cover_it_is_the_air_there() {
        let (session, ui) = look_at(garden(), Options::default());
        let climate = climate::of_site(&session.plan().garden().site, None).unwrap();
        let tunnel = climate.day_table(2027).under(Cover::UnheatedTunnel);
        let mean_c = ui.view.week.monday().iter_days().take(7).map(|date| tunnel.day(date).tmean_c).sum::<f64>() / 7.0;
        let long = words(&session, ui.view.week, Cover::UnheatedTunnel, &FULL).unwrap();
        assert!(long.starts_with("under the tunnel: day 16.6 h"), "{long}");
        assert!(long.contains(&format!("mean {mean_c:.0} °C")) && !long.contains("evaporation"), "{long}");
        assert_ne!(
            long.split("mean").nth(1),
            words(&session, ui.view.week, Cover::Open, &FULL).unwrap().split("mean").nth(1)
        );
        let short = words_within(&session, ui.view.week, Cover::UnheatedTunnel, 40, &FULL).unwrap();
        assert!(short.starts_with(&format!("under the tunnel: {mean_c:.0} °C, frost ")), "{short}");
    }

    #[test]
    fn in_narrow_places_the_words_get_shorter_before_parts_are_left_out() {
        let (session, ui) = look_at(garden(), Options::default());
        let within = |cells| words_within(&session, ui.view.week, Cover::Open, cells, &FULL);
        let long = within(80).unwrap();
        assert!(long.ends_with("mm a day"));
        assert!(within(text::width(&long) - 1).unwrap().ends_with("mm/day"));
        assert!(within(30).unwrap().ends_with('%'));
        assert_eq!(within(5), None);
    }
}
