//! Why there is no climate.

use super::normals::NormalsError;
use super::of_place::Away;
use super::weather::WeatherError;
use crate::units::text::cut;

/// Why there is no climate.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum ClimateError {
    /// The embedded file does not hold together.
    #[error("{file}: {entry}: {field}: {what}")]
    Book {
        /// Which file.
        file: &'static str,
        /// The entry's name, or a line.
        entry: String,
        /// Its field.
        field: String,
        /// What is wrong with it.
        what: String,
    },
    /// No climate of that name.
    #[error("there is no climate `{}`{}; there are {}", cut(name, 40), did_you_mean(suggestion.as_deref()), known.join(", "))]
    Unknown {
        /// The name asked for.
        name: String,
        /// A near name.
        suggestion: Option<String>,
        /// All names.
        known: Vec<String>,
    },
    /// No place is near enough to say anything of this one.
    #[error(
        "nothing is known of the climate there: the nearest place of which the months are known is {place}, {away}; give the garden months \
         of its own"
    )]
    TooFar {
        /// The nearest place, or the climate that was chosen.
        place: String,
        /// How far it is.
        away: Away,
    },
    /// Own normals do not hold together.
    #[error("the site's normals: {0}")]
    Normals(#[from] NormalsError),
    /// A site with weather records was asked for without them.
    #[error("the site's weather is in `{}`, which was not read", cut(file, 60))]
    NotRead {
        /// The file.
        file: String,
    },
    /// The records are too short for normals.
    #[error("the site's weather: {0}")]
    Weather(#[from] WeatherError),
}

fn did_you_mean(suggestion: Option<&str>) -> String {
    suggestion.map_or_else(String::new, |name| format!(", did you mean `{name}`?"))
}
