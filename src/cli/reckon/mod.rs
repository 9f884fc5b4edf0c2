//! `reckon`: a desk calculator over the engines, with no garden file.

mod dates;
mod fit;
mod plants;
mod rotation;
pub mod sequence;
mod sky;
mod soak;
mod stand;

pub use dates::{dates, emergence};
pub use fit::fit;
pub use plants::plants;
pub use rotation::rotation;
pub use sky::{daylight, evaporation, heat, radiation};
pub use soak::soak;

use anyhow::{Result, anyhow, bail};
use serde::Serialize;

use super::Common;
use super::answer::Answer;
use super::args::{FamilyArgs, ShareArgs};
use super::fit::rounded;
use crate::crops::{CropBook, PlantRef};
use crate::fit::land_equivalent_ratio;

/// Names offered for one that is not known.
pub const N_NEAREST: usize = 3;

/// The crop or plant of a name.
///
/// # Errors
/// The book knows no such name; the message offers the nearest.
pub fn plant_of(book: &CropBook, name: &str) -> Result<PlantRef> {
    if name.trim().is_empty() {
        bail!("the name of a crop is missing; `bedfellow crops` lists them");
    }
    book.find(name).ok_or_else(|| {
        let nearest = book.nearest_names(name, N_NEAREST);
        if nearest.is_empty() {
            anyhow!("the crop book does not know `{name}`, and none of its names is near; `bedfellow crops` lists them")
        } else {
            anyhow!("the crop book does not know `{name}`; nearest are {}", nearest.join(", "))
        }
    })
}

#[derive(Serialize)]
struct FamilyOf<'a> {
    crop: &'a str,
    latin: &'a str,
    family: &'a str,
    family_id: &'a str,
    family_common: &'a str,
}

/// `reckon family`.
pub fn family(common: &Common, args: &FamilyArgs) -> Result<Answer> {
    let name = args.crop.join(" ");
    let (crop, latin, family_id) = common.book.plant_names(plant_of(&common.book, &name)?);
    let family = common.book.family(family_id);
    let answer = FamilyOf {
        crop,
        latin,
        family: family.map_or(family_id, |family| family.botanical.as_str()),
        family_id,
        family_common: family.map_or("", |family| family.common.as_str()),
    };
    Answer::of(common, &answer, |page| {
        page.line(&format!("{} ({}): {}, {}", answer.crop, answer.latin, answer.family, answer.family_common));
    })
}

#[derive(Serialize)]
struct Share {
    land_equivalent_ratio: f64,
}

/// `reckon share`.
pub fn share(common: &Common, args: &ShareArgs) -> Result<Answer> {
    let (alone, together) = (&args.alone, &args.together);
    if alone.len() != together.len() {
        bail!("--alone has {} and --together {}; give one yield of each crop in both", alone.len(), together.len());
    }
    if alone.len() < 2 {
        bail!("--alone has one yield; give those of two crops or more, such as 4.0,1.2");
    }
    let pairs: Vec<(f64, f64)> = together.iter().copied().zip(alone.iter().copied()).collect();
    let ratio = land_equivalent_ratio(&pairs);
    if !ratio.is_finite() {
        bail!("the yields are too far apart to be compared");
    }
    let share = Share { land_equivalent_ratio: rounded(ratio, 6) };
    Answer::of(common, &share, |page| {
        page.line(&format!("land equivalent ratio {ratio:.2}"));
        page.paragraph(
            "",
            "",
            &format!(
                "Grown apart, the same harvests would take {ratio:.2} times the ground that they take together. \
                 An estimate, as good as the yields it is made of."
            ),
        );
    })
}
