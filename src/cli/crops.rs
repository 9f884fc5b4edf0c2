//! `crops`: the crop book as a list, or one crop's page.

use std::sync::Arc;

use anyhow::{Result, bail};
use serde::Serialize;

use super::answer::Answer;
use super::args::CropsArgs;
use super::files::garden_of;
use super::reckon::{N_NEAREST, plant_of};
use super::{Common, crops_page};
use crate::crops::{Crop, CropBook, PlantRef};
use crate::export::{Column, Page};
use crate::garden::Garden;
use crate::words::{CropPage, counted, months_words};

/// A line of the list.
#[derive(Serialize)]
struct Line<'a> {
    id: &'a str,
    crop: &'a str,
    latin: &'a str,
    family: &'a str,
    family_id: &'a str,
    equidistant_cm: Option<f64>,
    clump: u32,
    row_cm: Option<f64>,
    in_row_cm: Option<f64>,
}

/// Lists crops, or shows one.
pub fn run(common: &Common, args: &CropsArgs) -> Result<Answer> {
    let garden = args.garden.as_ref().map(|file| garden_of(file)).transpose()?;
    let book = match &garden {
        Some(garden) => Arc::new(common.book.with_own_crops(&garden.own_crops)?),
        None => Arc::clone(&common.book),
    };
    if !args.name.is_empty() {
        if args.family.is_some() {
            bail!("give a crop or --family, not both");
        }
        return page_of(common, &book, &args.name.join(" "), garden.as_ref());
    }
    let families = match &args.family {
        Some(name) => families_of(&book, name)?,
        None => Vec::new(),
    };
    let crops: Vec<&Crop> =
        book.crops().iter().filter(|crop| args.family.is_none() || families.contains(&crop.family)).collect();
    let lines: Vec<Line<'_>> = crops.iter().map(|crop| line(&book, crop)).collect();
    Answer::of(common, &lines, |page| write(page, &book, &crops))
}

/// Ids of the families a name means.
fn families_of(book: &CropBook, name: &str) -> Result<Vec<String>> {
    let mut idxs = book.find_families(name);
    if idxs.is_empty() {
        // "onion" is a crop elsewhere; here it can only be its family's name.
        idxs = book.find_families(&format!("{name} family"));
    }
    let ids: Vec<String> =
        idxs.into_iter().filter_map(|idx| book.families().get(idx)).map(|family| family.id.clone()).collect();
    if ids.is_empty() {
        let nearest = book.nearest_family_names(name, N_NEAREST);
        bail!("the crop book has no family `{name}`; nearest are {}", nearest.join(", "));
    }
    Ok(ids)
}

fn page_of(common: &Common, book: &CropBook, name: &str, garden: Option<&Garden>) -> Result<Answer> {
    match plant_of(book, name)? {
        PlantRef::Crop(idx) => match book.crops().get(idx) {
            Some(crop) => {
                Answer::of(common, crop, |page| crops_page::write(page, &CropPage::of_crop(book, crop, garden)))
            }
            None => bail!("the crop book has no `{name}`"),
        },
        PlantRef::Known(idx) => match book.plants().get(idx) {
            Some(plant) => Answer::of(common, plant, |page| crops_page::write(page, &CropPage::of_plant(book, plant))),
            None => bail!("the crop book has no `{name}`"),
        },
    }
}

fn line<'a>(book: &'a CropBook, crop: &'a Crop) -> Line<'a> {
    let cm = |length: Option<crate::units::Mm>| length.map(|length| f64::from(length.0) / 10.0);
    Line {
        id: &crop.id,
        crop: &crop.name,
        latin: &crop.latin,
        family: book.family(&crop.family).map_or(crop.family.as_str(), |family| family.botanical.as_str()),
        family_id: &crop.family,
        equidistant_cm: cm(crop.spacing.equidistant_mm),
        clump: crop.spacing.clump,
        row_cm: cm(crop.spacing.row_mm),
        in_row_cm: cm(crop.spacing.in_row_mm),
    }
}

/// The first of the names growers have for a family.
fn family_word<'a>(book: &'a CropBook, id: &'a str) -> &'a str {
    let common = book.family(id).map_or(id, |family| family.common.as_str());
    common.split(';').next().unwrap_or(common).trim()
}

fn write(page: &mut Page, book: &CropBook, crops: &[&Crop]) {
    let columns = [
        Column::long("crop"),
        Column::words("id"),
        Column::long("family"),
        Column::number("each way"),
        Column::number("clump"),
        Column::number("rows"),
        Column::words("harvest"),
    ];
    let rows: Vec<Vec<String>> = crops
        .iter()
        .map(|crop| {
            let spacing = &crop.spacing;
            let each_way = spacing.equidistant_mm.map_or("–".to_owned(), |length| format!("{length} cm"));
            let rows = match (spacing.row_mm, spacing.in_row_mm) {
                (Some(row_mm), Some(in_row_mm)) => format!("{row_mm} × {in_row_mm} cm"),
                _ => "–".to_owned(),
            };
            vec![
                crop.name.clone(),
                crop.id.clone(),
                family_word(book, &crop.family).to_owned(),
                each_way,
                spacing.clump.to_string(),
                rows,
                months_words(crop.calendar.harvest),
            ]
        })
        .collect();
    page.table(0, &columns, &rows);
    page.blank();
    page.line(&counted(crops.len() as u64, "crop", "crops"));
}
