//! What each part of a garden must hold to, part by part; the walk over a whole garden is in `validate`.

use chrono::NaiveDate;

use super::fields::{Lines, check_date, check_limit, check_line, check_name, check_notes, check_order, check_text};
use super::limits::{self, Limit};
use super::problem::{Place, Problem, problem, quoted};
use super::{Bed, ClimateChoice, Garden, Layout, List, MonthDay, Planting, Site};
use crate::units::Mm;

pub(super) fn counts(garden: &Garden, out: &mut Vec<Problem>) {
    let of_lists = List::ALL.iter().map(|list| (list.n_rows(garden), list.about().most, list.about().field));
    let others =
        [(garden.beds.len(), limits::N_BEDS, "beds"), (garden.plantings.len(), limits::N_PLANTINGS, "plantings")];
    for (n, most, list) in others.into_iter().chain(of_lists) {
        if n > most {
            let message = format!("{list} has {n} entries; {most} are the most a garden may have");
            out.push(problem(Place::Garden, list, message, "divide the garden into two files"));
        }
    }
}

pub(super) fn garden_name(name: &str, out: &mut Vec<Problem>) {
    check_line(&Place::Garden, "name", name, out);
}

pub(super) fn site(site: &Site, out: &mut Vec<Problem>) {
    let place = Place::Garden;
    let hint = "give degrees from -90 (south pole) to 90 (north pole)";
    check_limit(&place, "site.latitude_deg", &limits::LATITUDE, site.latitude_deg, hint, out);
    if let Some(longitude_deg) = site.longitude_deg {
        check_limit(&place, "site.longitude_deg", &limits::LONGITUDE, longitude_deg, hint, out);
    }
    let hint = "give metres above the sea";
    check_limit(&place, "site.elevation_m", &limits::ELEVATION, site.elevation_m, hint, out);
    for (field, day) in [("site.last_frost", site.last_frost), ("site.first_frost", site.first_frost)] {
        if !is_day_of_year(day) {
            let MonthDay { month, day } = day;
            let message = format!("there is no day {day} in month {month}");
            out.push(problem(place.clone(), field, message, "give month 1 to 12 and a day that month has"));
        }
    }
    if site.currency.len() != 3 || !site.currency.bytes().all(|b| b.is_ascii_uppercase()) {
        let message = format!("`{}` is not a currency code", quoted(&site.currency));
        out.push(problem(place, "site.currency", message, "give the three capital letters of ISO 4217, such as GBP"));
    }
    climate(&site.climate, out);
}

/// A chosen climate as far as the file can tell; whether a named one is there is for those who know the names.
fn climate(choice: &ClimateChoice, out: &mut Vec<Problem>) {
    let place = Place::Garden;
    match choice {
        ClimateChoice::Nearest => {}
        ClimateChoice::Book(name) => check_name(&place, "site.climate", name, out),
        ClimateChoice::Normals { tmin_c, tmax_c, rain_mm, spread_c } => {
            let temperature = &limits::MONTH_TEMPERATURE;
            check_months("site.climate.tmin_c", tmin_c, temperature, out);
            check_months("site.climate.tmax_c", tmax_c, temperature, out);
            if let Some(rain) = rain_mm {
                check_months("site.climate.rain_mm", rain, &limits::MONTH_RAIN, out);
            }
            if let Some(spread) = spread_c {
                let hint = "give the standard deviation of a month's mean from year to year, often 1 to 2";
                check_limit(&place, "site.climate.spread_c", &limits::MONTH_SPREAD, *spread, hint, out);
            }
            let reversed = tmin_c.iter().zip(tmax_c).enumerate().find(|(_, (tmin, tmax))| tmin >= tmax);
            if let Some((at, (tmin, tmax))) = reversed {
                let message = format!("minimum {tmin} °C is not below maximum {tmax} °C in month {}", at + 1);
                out.push(problem(place, "site.climate.tmin_c", message, "exchange or correct the two"));
            }
        }
        ClimateChoice::Weather { file } => {
            check_name(&place, "site.climate.file", file, out);
            if file.contains(['/', '\\', ':']) || file.starts_with('.') {
                let message = format!("`{}` is not the name of a file beside the garden file", quoted(file));
                out.push(problem(place, "site.climate.file", message, "give a plain name such as weather.csv"));
            }
        }
    }
}

fn check_months(field: &'static str, values: &[f64], limit: &Limit<f64>, out: &mut Vec<Problem>) {
    if values.len() != limits::N_MONTHS {
        let message = format!("there are {} values for {} months", values.len(), limits::N_MONTHS);
        out.push(problem(Place::Garden, field, message, "give a value for each month, January to December"));
    }
    if let Some(message) = values.iter().find_map(|value| limit.refusal(*value)) {
        out.push(problem(Place::Garden, field, message, "give means of months in °C (not Fahrenheit) and in mm"));
    }
}

/// Whether some year has that day.
fn is_day_of_year(day: MonthDay) -> bool {
    const LEAP_YEAR: i32 = 2024;
    NaiveDate::from_ymd_opt(LEAP_YEAR, day.month, day.day).is_some()
}

pub(super) fn bed(at: usize, bed: &Bed, out: &mut Vec<Problem>) {
    let place = Place::Bed { at, id: bed.id.clone() };
    check_text(&place, "id", &bed.id, limits::BED_ID_CHARS, Lines::One, out);
    if bed.id.trim() != bed.id || bed.id.is_empty() {
        let message = format!("`{}` is not a bed's id", quoted(&bed.id));
        out.push(problem(place.clone(), "id", message, "give a short id such as A1, without spaces at its ends"));
    }
    check_line(&place, "name", &bed.name, out);
    check_notes(&place, "notes", &bed.notes, out);
    let hint = "a bed is 1 cm to 1 km long and wide";
    check_limit(&place, "width_mm", &Limit { what: "width", ..limits::BED_SIDE }, bed.width_mm, hint, out);
    check_limit(&place, "length_mm", &Limit { what: "length", ..limits::BED_SIDE }, bed.length_mm, hint, out);
    let hint = "give its corner within 10 km of the site's corner";
    check_limit(&place, "east_mm", &limits::BED_PLACE, bed.east_mm, hint, out);
    check_limit(&place, "south_mm", &limits::BED_PLACE, bed.south_mm, hint, out);
    let hint = "give degrees clockwise from north, 0 to 359";
    check_limit(&place, "bearing_deg", &limits::BEARING, bed.bearing_deg, hint, out);
}

/// Everything about a planting but its host; `bed` is the one it names, if there is such a bed.
pub(super) fn planting(planting: &Planting, bed: Option<&Bed>, out: &mut Vec<Problem>) {
    let place = Place::Planting(planting.id);
    let hint = "give a number that no other planting has";
    check_limit(&place, "id", &limits::PLANTING_ID, planting.id.0, hint, out);
    check_name(&place, "crop", &planting.crop, out);
    check_line(&place, "variety", &planting.variety, out);
    check_notes(&place, "notes", &planting.notes, out);
    check_strip(&place, planting, bed, out);
    check_layout(&place, planting, out);
    let hint = "give the plants raised together at each station";
    check_limit(&place, "clump", &limits::CLUMP, planting.clump, hint, out);
    check_dates(&place, planting, out);
}

fn check_strip(place: &Place, planting: &Planting, bed: Option<&Bed>, out: &mut Vec<Problem>) {
    let (from, to) = (planting.from_mm, planting.to_mm);
    if from >= to {
        let message = format!("its strip ends at {to} cm, not after its start at {from} cm");
        out.push(problem(place.clone(), "to_mm", message, "make from_mm less than to_mm"));
    } else if from < Mm::ZERO {
        let message = format!("its strip starts at {from} cm, before the bed does");
        out.push(problem(place.clone(), "from_mm", message, "start it at 0 or later"));
    } else if let Some(bed) = bed
        && to > bed.length_mm
        && bed.length_mm >= limits::BED_SIDE.least
    {
        let (id, length) = (quoted(&bed.id), bed.length_mm);
        let message = format!("its strip reaches to {to} cm; bed {id} is {length} cm long");
        out.push(problem(place.clone(), "to_mm", message, format!("end it at {length} cm or before")));
    }
}

fn check_layout(place: &Place, planting: &Planting, out: &mut Vec<Problem>) {
    let mut distance = |field: &'static str, what: &'static str, value: Mm| {
        let limit = Limit { what, ..limits::SPACING };
        check_limit(place, field, &limit, value, "give a distance above 0 and up to 100 m", out);
    };
    match planting.layout {
        Layout::Grid { spacing_mm } | Layout::Offset { spacing_mm } | Layout::Edge { spacing_mm, .. } => {
            distance("layout.spacing_mm", "spacing", spacing_mm);
        }
        Layout::Rows { row_mm, in_row_mm, .. } => {
            distance("layout.row_mm", "row distance", row_mm);
            distance("layout.in_row_mm", "distance in the row", in_row_mm);
        }
        Layout::Drill { row_mm, plants_per_m, .. } => {
            distance("layout.row_mm", "row distance", row_mm);
            let hint = "give a number above 0";
            check_limit(place, "layout.plants_per_m", &limits::PER_METRE, plants_per_m, hint, out);
        }
        Layout::Broadcast { plants_per_m2 } => {
            let hint = "give a number above 0";
            check_limit(place, "layout.plants_per_m2", &limits::PER_M2, plants_per_m2, hint, out);
        }
        Layout::Between { .. } => {}
    }
    if let Some(setback) = planting.setback_mm {
        let hint = "give the distance kept from the strip's edges, 0 or more";
        check_limit(place, "setback_mm", &limits::SETBACK, setback, hint, out);
    }
}

/// Whether its host is there, is another planting, and is in the same bed.
pub(super) fn host(planting: &Planting, garden: &Garden, out: &mut Vec<Problem>) {
    let Some(host_id) = planting.host() else { return };
    let place = Place::Planting(planting.id);
    let mut report = |message: String, hint: &str| out.push(problem(place.clone(), "layout.host", message, hint));
    match garden.planting(host_id) {
        _ if host_id == planting.id => {
            report(
                "it stands between its own stations".to_owned(),
                "name another planting as its host, or choose another layout",
            );
        }
        None => report(
            format!("it stands between the stations of {host_id}, which is not there"),
            "name a planting of the same bed as its host, or choose another layout",
        ),
        Some(host) if host.bed != planting.bed => {
            let (bed, own) = (quoted(&host.bed), quoted(&planting.bed));
            report(
                format!("it stands in bed {own} between the stations of {host_id}, which is in bed {bed}"),
                "keep both in one bed, or choose another layout",
            );
        }
        Some(_) => {}
    }
}

fn check_dates(place: &Place, planting: &Planting, out: &mut Vec<Problem>) {
    let planned = &planting.planned;
    let days = [
        ("planned.sow", "sown", planned.sow),
        ("planned.plant", "planted", planned.plant),
        ("planned.first_pick", "first picked", planned.first_pick),
        ("planned.last_pick", "last picked", planned.last_pick),
        ("planned.clear", "cleared", planned.clear),
    ];
    let days = days.map(|(field, done, day)| (field, done, day.map(|day| (place.clone(), day))));
    for (field, _, day) in &days {
        if let Some((place, day)) = day {
            check_date(place, field, *day, out);
        }
    }
    check_order(days, out);
}
