//! Clauses about rotation and crowding that take more than a line to find.

use chrono::NaiveDate;

use super::plan::Plan;
use super::rotate::History;
use super::words::{date, in_text, list, plural, week_words};
use super::work_out::set_out_in;
use super::{Help, Standing};
use crate::crops::CropBook;
use crate::garden::{Layout, Planting, PlantingId};
use crate::growth::mature_radius_mm;
use crate::rotation::{
    AUTUMN_FROM, Because, Edge, Kin, Node, Path, RotationFinding, Rule, edge_words, node_words, span_words,
};
use crate::units::Week;

/// Crops named that could go in instead at most.
const CLEAN_CROPS_MAX: usize = 3;

/// Days from one year's day to the next.
const DAYS_PER_YEAR: i64 = 365;

/// What is said of two slow crops.
pub(super) const NO_SHARING: &str =
    "the two do not share this ground: they are too close before the quicker one has stood long enough to be of use";

/// `onion family is back after 2 years; the rule asks for 4`. Where less than a year lies between the days they are told, and
/// where the crop counts for another year than it goes in, the years of rotation.
pub(super) fn back_after(finding: &RotationFinding, family: &str) -> String {
    let Some((before, asked)) = finding.earlier_year.zip(finding.asked_years) else {
        return format!("{family} is back too early");
    };
    let n_years = i64::from(finding.year - before);
    match finding.days_between() {
        Some(0) => format!("{family} is back at once; the rule asks for {}", plural(i64::from(asked), "year")),
        Some(n_days @ 1..DAYS_PER_YEAR) => {
            format!(
                "{family} is back after {}; the rule asks for {}",
                span_words(n_days),
                plural(i64::from(asked), "year")
            )
        }
        _ if finding.set_in_autumn().is_some() => {
            let n_years = plural(n_years, "rotation year");
            format!("{family} is back after {n_years}, {before} to {}; the rule asks for {asked}", finding.year)
        }
        _ => format!("{family} is back after {}; the rule asks for {asked}", plural(n_years, "year")),
    }
}

/// How the crop is joined to what stood before, or to a hazard.
pub(super) fn kinship(plan: &Plan, finding: &RotationFinding) -> Option<String> {
    let is_about_family = matches!(finding.rule, Rule::FamilyReturn | Rule::SameYear | Rule::Exempt);
    if !is_about_family {
        let path = plan.graph().path(finding);
        return (!path.edges.is_empty()).then(|| path_words(plan.book(), &path));
    }
    let _ = finding.earlier?;
    let book = plan.book();
    let family = match finding.about_kin {
        Kin::Plant(plant) => book.family(book.plant_names(plant).2),
        Kin::Family(idx) => book.families().get(idx),
    }?;
    let botanical = family.botanical.split([' ', ';', '(', ',']).next().unwrap_or_default();
    if finding.because == Because::SameBotanical {
        return Some(format!("both are of the botanical family {botanical}"));
    }
    let common = in_text(family.usual_name());
    Some(if common.ends_with("family") {
        format!("both are of the {common} ({botanical})")
    } else if common.contains(' ') {
        format!("both are of one family: {common} ({botanical})")
    } else {
        format!("both are of the {common} family ({botanical})")
    })
}

/// A path in words: `clubroot lives on the cabbage family, which holds cauliflower`.
fn path_words(book: &CropBook, path: &Path) -> String {
    let name = |node: &Node| {
        let name = node_words(book, node);
        let the = if name.ends_with("family") { "the " } else { "" };
        format!("{the}{}", in_text(&name))
    };
    let mut words = path.nodes.first().map_or_else(String::new, name);
    let (mut joint, mut led_by) = (" ", None);
    for (place, (node, edge)) in (1..).zip(path.nodes.iter().skip(1).zip(&path.edges)) {
        let edge = led_by.take().unwrap_or(edge);
        // A botanical name that only leads down to the family growers know, and on from there, says nothing more than that.
        let leads_down = matches!(node, Node::Botanical(_)) && path.edges.get(place) == Some(&Edge::Holds);
        if leads_down && place + 2 < path.nodes.len() {
            led_by = Some(edge);
            continue;
        }
        words.push_str(&format!("{joint}{} {}", edge_words(book, *edge), name(node)));
        joint = ", which ";
    }
    words
}

/// From when on the rule weighs less, and when it has nothing more to say.
pub(super) fn when_clear(plan: &Plan, finding: &RotationFinding) -> Option<String> {
    let clear = finding.clear_year?;
    if finding.rule == Rule::HazardHost {
        let hazard = finding.hazard_idx.and_then(|idx| plan.book().hazards().get(idx))?;
        let (clock, name) = (finding.earlier_year?, in_text(&hazard.name));
        let alive = plural(i64::from(clear - clock - 1), "host-free year");
        let gone = format!("from {clear} on, after {alive}, {name} is taken to have died out and the rule is met");
        return Some(match finding.caution_year {
            Some(caution) if finding.year < caution && caution < clear => {
                let least = plural(i64::from(caution - clock - 1), "host-free year");
                format!("from {caution}, after {least}, it is a caution and no longer a breach; {gone}")
            }
            _ => gone,
        });
    }
    Some(match finding.set_in_autumn() {
        Some(_) => {
            let (month, day) = AUTUMN_FROM;
            let earliest = NaiveDate::from_ymd_opt(clear - 1, month, day)?;
            format!("what counts for {clear} (a winter crop set from {} on) the rule allows", date(earliest))
        }
        None => format!("from {clear} the rule allows it"),
    })
}

/// How much is lost, and when: `3 stations lose more than a tenth of their ground; worst 78 % in 2027-W30; …`.
pub(super) fn crowding(share_lost_max: f64, n_affected: usize, first: Option<Week>, worst: Option<Week>) -> String {
    let stations = plural(n_affected as i64, "station");
    let (verb, their) = if n_affected == 1 { ("loses", "its") } else { ("lose", "their") };
    let worst = worst.map_or_else(String::new, |week| format!(" in {}", week_words(week)));
    let first = first.map_or_else(String::new, |week| format!("; first too close in {}", week_words(week)));
    let lost = share_lost_max * 100.0;
    format!("{stations} {verb} more than a tenth of {their} ground at worst: {lost:.0} %{worst}{first}")
}

/// What helps where no change was found.
pub(super) fn other_ground(name: &str, cm_from_edge: Option<i32>) -> String {
    match cm_from_edge {
        Some(cm) => format!("give {name} other ground, or keep what stands beside the edge row {cm} cm from that edge"),
        None => format!("give {name} other ground"),
    }
}

/// Where one of two plantings is a line along an edge: how far from that edge the other's stations have to stay for full
/// grown plants not to touch. `None` where neither is, or the bed is too narrow for it.
pub(super) fn cm_from_edge(plan: &Plan, planting: &Planting, other: PlantingId) -> Option<i32> {
    let other = plan.garden().planting(other)?;
    let bed = plan.garden().bed(&planting.bed)?;
    let radius_mm = |planting: &Planting| plan.book().crop(&planting.crop).map(mature_radius_mm);
    let line = [planting, other].into_iter().find(|planting| matches!(planting.layout, Layout::Edge { .. }))?;
    let width_mm = bed.width_mm.as_f64();
    let to_edge = |y_mm: f64| y_mm.min(width_mm - y_mm);
    // A line needs no host.
    let line_mm = set_out_in(bed, line, &[]).ok()?.stations.iter().map(|point| to_edge(point.y_mm)).fold(0.0, f64::max);
    let needed_mm = line_mm + radius_mm(planting)? + radius_mm(other)?;
    // Of a line along each edge either may be meant: the middle is as far from both as it gets.
    (needed_mm < width_mm / 2.0).then(|| (needed_mm / 10.0).ceil() as i32)
}

/// Crops that could go in here about the day the planting would, with nothing said against them by rotation.
pub(super) fn clean_crops(plan: &Plan, bed_idx: usize, standing: &Standing, help: &mut Help) -> Option<String> {
    let work = History::of_bed(plan.inputs(), bed_idx, plan.standing_in(bed_idx), None).work();
    help.bed_work = help.bed_work.checked_sub(work.saturating_mul(plan.book().crops().len() as u64))?;
    let day = standing.stages.enters;
    let candidates = plan.candidates(bed_idx, day);
    let clean = candidates.iter().filter(|one| one.worst.is_none() && one.crop_idx != standing.crop_idx);
    let names: Vec<String> = clean
        .filter_map(|one| plan.book().crops().get(one.crop_idx))
        .map(|crop| in_text(&crop.name).into_owned())
        .take(CLEAN_CROPS_MAX)
        .collect();
    (!names.is_empty()).then(|| format!("here rotation allows {} about {}", list(&names), date(day)))
}
