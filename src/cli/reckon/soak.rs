//! `reckon soak`: the water that fills dry soil before planting.

use anyhow::{Context as _, Result};
use serde::Serialize;

use super::super::Common;
use super::super::answer::Answer;
use super::super::args::SoakArgs;
use super::super::fit::rounded;
use super::dates::crop_of;
use crate::climate::soil_water::{self, Roots};
use crate::export::Page;
use crate::words::cans_words;

#[derive(Serialize)]
struct Soaked<'a> {
    soil: &'a str,
    depth_cm: f64,
    /// Share of the available water that is gone.
    dry: f64,
    mm: f64,
    mm_low: f64,
    mm_high: f64,
    litres_m2: f64,
    cans_m2: f64,
    area_m2: Option<f64>,
    litres: Option<f64>,
    cans: Option<f64>,
    /// What roots can take from that depth at field capacity, mm.
    total_available_mm: f64,
    crop: Option<&'a str>,
    /// What the crop takes of it before it suffers, mm.
    readily_available_mm: Option<f64>,
    source: &'a str,
}

/// `reckon soak`.
pub fn soak(common: &Common, args: &SoakArgs) -> Result<Answer> {
    let (soil, area_m2) = (args.soil, args.area);
    let depth_cm = args.depth.unwrap_or(f64::from(soil_water::SOAK_DEPTH.0) / 10.0);
    let dry = args.dry.unwrap_or(soil_water::DRY);
    let crop = args.crop.as_deref().map(|name| crop_of(&common.book, name)).transpose()?;
    let roots = match crop {
        Some(crop) => Some(soil_water::roots_of(crop).with_context(|| {
            format!("the table of roots (FAO-56 Table 22) has no row for {}; leave --crop out", crop.name)
        })?),
        None => None,
    };
    let soak = soil.soak(depth_cm * 10.0, dry);
    let holds_mm = soil_water::total_available_mm(soil.available_mid(), depth_cm / 100.0);
    let takes_mm = roots.map(|roots| soil_water::readily_available_mm(holds_mm, roots.depletion));
    let answer = Soaked {
        soil: &soil.name,
        depth_cm,
        dry,
        mm: rounded(soak.mm, 2),
        mm_low: rounded(soak.mm_low, 2),
        mm_high: rounded(soak.mm_high, 2),
        litres_m2: rounded(soak.mm, 2),
        cans_m2: rounded(soak.cans_m2(), 3),
        area_m2,
        litres: area_m2.map(|area_m2| rounded(soak.litres(area_m2), 2)),
        cans: area_m2.map(|area_m2| rounded(soak.cans(area_m2), 3)),
        total_available_mm: rounded(holds_mm, 2),
        crop: crop.map(|crop| crop.name.as_str()),
        readily_available_mm: takes_mm.map(|mm| rounded(mm, 2)),
        source: &soil.source,
    };
    Answer::of(common, &answer, |page| write(page, &answer, roots, common.is_ascii))
}

fn write(page: &mut Page, answer: &Soaked<'_>, roots: Option<&Roots>, is_ascii: bool) {
    let depth = format!("{} cm of {}", answer.depth_cm, answer.soil);
    if answer.mm <= 0.0 {
        page.line(&format!("{depth} at field capacity: no water is needed"));
    } else {
        let cans = |cans: f64| cans_words(cans, is_ascii);
        page.line(&format!("{depth}, {:.0} % of its available water gone", answer.dry * 100.0));
        page.line(&format!(
            "  {:.0} litres a square metre ({:.0} to {:.0} within the class): {}",
            answer.litres_m2,
            answer.mm_low,
            answer.mm_high,
            cans(answer.cans_m2)
        ));
        if let (Some(area_m2), Some(litres), Some(all)) = (answer.area_m2, answer.litres, answer.cans) {
            page.line(&format!("  {litres:.0} litres on {area_m2} square metres: {}", cans(all)));
        }
    }
    if let (Some(crop), Some(takes_mm), Some(roots)) = (answer.crop, answer.readily_available_mm, roots) {
        let (shallow, deep) = roots.depth_m;
        page.paragraph(
            "  ",
            "  ",
            &format!(
                "{crop} takes {takes_mm:.0} of the {:.0} mm that this depth holds before it suffers; grown, it roots {:.0} to {:.0} cm deep",
                answer.total_available_mm,
                shallow * 100.0,
                deep * 100.0
            ),
        );
    }
    page.paragraph(
        "",
        "",
        "FAO-56 eq. 82 and Table 19. Compost holds more, stones less; take off what rain has brought.",
    );
    page.paragraph(
        "",
        "",
        "Take care: only where it is dry. Water on soil that is wet through or frozen drives out air, seals the surface and washes \
         food away (common practice). Give it slowly, and let it sink in before planting.",
    );
}
