//! The garden's own crops: what the texts and numbers of one must hold to.

use super::{Deed, Tells};
use crate::crops::{Crop, Response};
use crate::garden::fields::{check_line, check_name, check_notes};
use crate::garden::limits;
use crate::garden::naming::Words;
use crate::garden::problem::{Place, Problem, problem};

impl Tells for Crop {
    fn check(&self, place: &Place, out: &mut Vec<Problem>) {
        check(self, place, out);
    }

    fn title(&self, deed: Deed, words: &Words<'_>) -> String {
        let name = words.name(&self.name);
        match deed {
            Deed::Put => format!("add {name} to the garden's own crops"),
            Deed::Take => format!("take {name} out of the garden's own crops"),
            Deed::Change => format!("change {name} among the garden's own crops"),
        }
    }

    fn what(&self, words: &Words<'_>) -> String {
        format!("own crop {}", words.name(&self.id))
    }
}

/// Texts and numbers; what they mean is checked where the book takes the crop in.
fn check(crop: &Crop, place: &Place, out: &mut Vec<Problem>) {
    check_name(place, "id", &crop.id, out);
    check_name(place, "name", &crop.name, out);
    for (field, text) in [("short_name", &crop.short_name), ("latin", &crop.latin), ("family", &crop.family)] {
        check_line(place, field, text, out);
    }
    for (field, list) in [("other_names", &crop.other_names), ("groups", &crop.groups)] {
        if list.len() > limits::N_OWN_NAMES {
            let message = format!("{field} has {} entries; {} are the most", list.len(), limits::N_OWN_NAMES);
            out.push(problem(place.clone(), field, message, "keep those that are asked for"));
        }
    }
    for text in &crop.other_names {
        check_line(place, "other_names", text, out);
    }
    for text in &crop.groups {
        check_line(place, "groups", text, out);
    }
    for (field, text) in [
        ("known_as", crop.known_as.as_deref().unwrap_or_default()),
        ("caution", crop.caution.as_deref().unwrap_or_default()),
        ("caution_source", &crop.caution_source),
        ("spacing.source", &crop.spacing.source),
        ("seed.source", &crop.seed.source),
        ("calendar.bolting_note", &crop.calendar.bolting_note),
        ("calendar.source", &crop.calendar.source),
        ("temperature.source", &crop.temperature.source),
        ("size.source", &crop.size.source),
        ("yields.source", &crop.yields.source),
        ("keeping.conditions", &crop.keeping.conditions),
        ("keeping.source", &crop.keeping.source),
        ("feeding_source", &crop.feeding_source),
        ("bed_years.source", crop.bed_years.as_ref().map_or("", |bed_years| &bed_years.source)),
        ("timing.source", &crop.timing.source),
        ("stages.source", crop.stages.as_ref().map_or("", |stages| &stages.source)),
    ] {
        check_notes(place, field, text, out);
    }
    let mut numbers = vec![
        ("spacing.sow_g_per_m2", crop.spacing.sow_g_per_m2),
        ("seed.per_g", crop.seed.per_g),
        ("seed.germination_pct", Some(crop.seed.germination_pct)),
        ("calendar.harvest_weeks", Some(crop.calendar.harvest_weeks)),
        ("temperature.base_c", Some(crop.temperature.base_c)),
        ("temperature.optimum_c", Some(crop.temperature.optimum_c)),
        ("temperature.optimum_low_c", Some(crop.temperature.optimum_low_c)),
        ("temperature.optimum_high_c", Some(crop.temperature.optimum_high_c)),
        ("temperature.growth_min_c", crop.temperature.growth_min_c),
        ("temperature.growth_max_c", crop.temperature.growth_max_c),
        ("temperature.hardiness_c", Some(crop.temperature.hardiness_c)),
        ("yields.low_kg_per_m2", Some(crop.yields.low_kg_per_m2)),
        ("yields.typical_kg_per_m2", Some(crop.yields.typical_kg_per_m2)),
        ("yields.high_kg_per_m2", Some(crop.yields.high_kg_per_m2)),
        ("keeping.weeks", crop.keeping.weeks),
    ];
    if let Some(stages) = &crop.stages {
        numbers.extend([
            ("stages.initial_days", Some(stages.initial_days)),
            ("stages.development_days", Some(stages.development_days)),
            ("stages.mid_days", Some(stages.mid_days)),
            ("stages.late_days", Some(stages.late_days)),
        ]);
    }
    if let Some(development) = &crop.development {
        check_notes(place, "development.source", &development.source, out);
        numbers.extend([
            ("development.base_c", Some(development.base_c)),
            ("development.optimum_c", Some(development.optimum_c)),
            ("development.ceiling_c", Some(development.ceiling_c)),
            ("development.maximum_c", Some(development.maximum_c)),
        ]);
    }
    if let Response::Shortest { warmth_rate, light_rate, light_weight, source } = &crop.response {
        check_notes(place, "response.source", source, out);
        numbers.extend([
            ("response.warmth_rate", Some(*warmth_rate)),
            ("response.light_rate", Some(*light_rate)),
            ("response.light_weight", Some(*light_weight)),
        ]);
    }
    for (field, number) in numbers {
        if number.is_some_and(|number| !number.is_finite()) {
            out.push(problem(place.clone(), field, "it is not a finite number".to_owned(), "give a plain number"));
        }
    }
}
