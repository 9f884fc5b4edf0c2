//! Where a garden's months come from.

use crate::climate::Climate;
use crate::units::text::shown;

/// `Bradford, UK, 38 km away and 81 m lower (met office)`; of a kind of climate its name and title.
pub fn climate_words(climate: &Climate) -> String {
    match climate.away {
        Some(away) => {
            let guess = if away.km.is_none() { ", by latitude and height alone: give the longitude" } else { "" };
            format!("{}, {away} ({}){guess}", climate.title, shown(&climate.source))
        }
        None if climate.title == climate.name => format!("{} ({})", climate.title, shown(&climate.source)),
        None => format!("{}, {} ({})", climate.name, climate.title, shown(&climate.source)),
    }
}
