//! What growth, weather and shade forbid, in words: what happens, and what would help.

use chrono::NaiveDate;

use super::text::{date, plural};
use crate::growth::{BoltCause, Limit, Odds};
use crate::season::Shade;
use crate::units::days_between;

/// What growth or weather forbids, in one clause.
pub fn limit_words(limit: &Limit) -> String {
    match limit {
        Limit::TooColdToEmerge { emerges: Some(emerges), .. } => {
            format!("sown in cold soil, comes up on {} only", date(*emerges))
        }
        Limit::TooColdToEmerge { emerges: None, .. } => "sown in soil too cold to come up at all".to_owned(),
        Limit::TooHotToEmerge { sown, .. } => format!("sown in soil too hot to come up, on {}", date(*sown)),
        Limit::BeforeLastFrost { out, last_frost } => {
            let n_days = days_between(*out, *last_frost);
            format!("tender, and out {} before the last frost", plural(n_days, "day"))
        }
        Limit::ShootsBeforeLastFrost { last_frost, .. } => {
            format!("shoots may be cut by frost until {}: earth up or cover", date(*last_frost))
        }
        Limit::NotRipeInTime { by, is_frost: true, .. } => format!("not ripe before frost ends it, {}", date(*by)),
        Limit::NotRipeInTime { by, is_frost: false, .. } => format!("not ripe before the light goes, {}", date(*by)),
        Limit::Bolts { cause: BoltCause::LongDays, .. } => "will bolt in long warm days".to_owned(),
        Limit::Bolts { cause: BoltCause::Cold, .. } => "will bolt from cold while young".to_owned(),
        Limit::Bolts { cause: BoltCause::TooForward, .. } => {
            "too forward before winter, will bolt in spring".to_owned()
        }
        Limit::Killed { odds: Odds::Average, from, .. } => {
            format!("in most years, cold has killed it by {}", date(*from))
        }
        Limit::Killed { odds: Odds::OneInTen, from, .. } => {
            format!("one year in ten, cold has killed it by {}", date(*from))
        }
        Limit::PickedTooSoon { first_pick, ripe } => {
            format!("first pick given for {}, ripe about {}", date(*first_pick), date(*ripe))
        }
    }
}

/// Clauses that say more, and what would help; and the source.
pub(super) fn explain(limit: &Limit) -> (Vec<String>, &'static str) {
    match limit {
        Limit::TooColdToEmerge { sown, soil_c, least_c, .. } => (
            vec![
                format!(
                    "on {} the soil at sowing depth has {soil_c:.1} °C; it comes up from {least_c:.0} °C",
                    date(*sown)
                ),
                "sow later, warm the soil under a cover first, or raise it in modules".to_owned(),
            ],
            "Harrington & Minges 1954, days to emergence by soil temperature; the site's normals",
        ),
        Limit::TooHotToEmerge { sown, soil_c } => (
            vec![
                format!("on {} the soil at sowing depth has {soil_c:.1} °C", date(*sown)),
                "sow in a cooler week, in the evening with shade and water, or raise it somewhere cool".to_owned(),
            ],
            "Harrington & Minges 1954, days to emergence by soil temperature; the site's normals",
        ),
        Limit::BeforeLastFrost { out, last_frost } => (
            vec![
                format!(
                    "planted out on {}; the last frost comes about {}, later in half of all years",
                    date(*out),
                    date(*last_frost)
                ),
                "wait, or keep fleece at hand for frosty nights".to_owned(),
            ],
            "the site's median last frost under the bed's cover; hardiness from the crop book",
        ),
        Limit::ShootsBeforeLastFrost { shows, last_frost } => (
            vec![
                format!("shoots show about {}; the last frost comes about {}", date(*shows), date(*last_frost)),
                "draw earth over them or keep fleece at hand for frosty nights, or plant later".to_owned(),
            ],
            "common practice, no published source; the site's median last frost under the bed's cover",
        ),
        Limit::NotRipeInTime { ripe, is_frost, .. } => (
            vec![
                ripe.map_or_else(
                    || "it never ripens there".to_owned(),
                    |ripe| format!("it would be ripe about {}", date(ripe)),
                ),
                if *is_frost {
                    "put it in earlier, choose a quicker variety, or grow it under a cover"
                } else {
                    "put it in earlier, choose a quicker variety, or let it stand until spring"
                }
                .to_owned(),
            ],
            "growth days by the site's temperature and light; durations from the crop book",
        ),
        Limit::Bolts { cause, n_days, n_days_most } => {
            let (what, help) = match cause {
                BoltCause::LongDays => ("long warm days before the first pick", "sow it for spring or autumn instead"),
                BoltCause::Cold => ("cool days while young", "put it in later, or keep it under a cover while young"),
                BoltCause::TooForward => ("growth days before winter", "put it in later"),
            };
            (
                vec![format!("it has {n_days:.0} {what}; {n_days_most:.0} are too many"), help.to_owned()],
                "bolting limits from the crop book; days by the site's normals",
            )
        }
        Limit::Killed { coldest_c, hardiness_c, .. } => (
            vec![
                format!("such a winter has a night of {coldest_c:.0} °C there; it stands {hardiness_c:.0} °C"),
                "pick it before, cover it, or choose a hardier crop".to_owned(),
            ],
            "hardiness from the crop book; cold nights by the site's normals and their spread",
        ),
        Limit::PickedTooSoon { .. } => (
            vec![
                "it is a planned date; what really happens counts".to_owned(),
                "give a later pick, or none".to_owned(),
            ],
            "growth days by the site's temperature and light; durations from the crop book",
        ),
    }
}

/// One clause about shade, given the name of what is shaded.
pub(super) fn shade_clause(shade: &Shade, other: &str) -> String {
    format!("takes {:.1} h of sun a day from {other} in mid-{}", shade.hours_lost, shade.on.format("%B"))
}

/// Clauses that say more of shade, and what would help.
pub(super) fn explain_shade(shade: &Shade, other: &str) -> (Vec<String>, &'static str) {
    (
        vec![
            format!(
                "{other} loses {:.1} h of the 6 h between 9:00 and 15:00 solar time on {}",
                shade.hours_lost,
                day_month(shade.on)
            ),
            format!(
                "{} nearby {} an hour or more",
                plural(shade.n_beds as i64, "bed"),
                if shade.n_beds == 1 { "loses" } else { "lose" }
            ),
            "a bed farther to the north, a low crop that bears shade beside it, or more room between would help"
                .to_owned(),
        ],
        "height of the sun (Meeus 1998); height of the crop from the crop book",
    )
}

fn day_month(day: NaiveDate) -> String {
    day.format("%-d %B").to_string()
}
