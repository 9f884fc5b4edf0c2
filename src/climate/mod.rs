//! Sun, temperature, frost and soil warmth at a place, day by day.
//!
//! | file | what is in it |
//! | --- | --- |
//! | `sun` | declination, day length, height of the sun, radiation above the air |
//! | `evaporation` | reference evaporation from temperatures alone |
//! | `heat` | degree-days |
//! | `normals`, `table` | monthly normals, and one year of days made from them or from weather records |
//! | `cover` | what fleece, mesh, cloches, tunnels and glass add |
//! | `soil` | temperature of the soil at a depth |
//! | `soil_water` | what soils hold within reach of roots, and the soak that fills dry ground |
//! | `frost` | last and first frost with their spread, chance of frost in a week |
//! | `weather` | daily records from the text of a CSV file, repairs reported |
//! | `year` | a site's year in a handful of figures |
//! | `of_place`, `moved` | what a place is like, and the same at another latitude and height |
//! | `places` | places whose months are known, and the nearest of them |
//! | `months` | twelve months from the text of a CSV file |
//! | `named` | kinds of climate that come with the program, and the climate of a garden's site |
//!
//! Values in, values out: the room reads no file. Seasons need no switch for the southern half of the world: they
//! follow from the latitude's sign and from normals that run from January to December there as here.

mod cover;
mod error;
pub mod evaporation;
pub mod frost;
pub mod heat;
mod months;
mod moved;
mod named;
mod normals;
mod of_place;
mod places;
pub mod soil;
pub mod soil_water;
pub mod sun;
mod table;
mod weather;
mod year;

pub use cover::{Lift, VENT_C, lift};
pub use error::ClimateError;
pub use frost::{FrostBasis, FrostDates, FrostSpread};
pub use months::{MonthsError, parse_months};
pub use moved::{LAPSE_C_PER_M, half_a_year_on};
pub use named::{by_name, named, of_site, reference};
pub use normals::{DEFAULT_SPREAD_C, Normals, NormalsError};
pub use of_place::{Away, Climate};
pub use places::{Place, nearest, places};
pub use soil::{SoilTable, diffusivity_m2_s, soil_temp_c};
pub use table::{Day, DayTable};
pub use weather::{Weather, WeatherDay, WeatherError, WeatherFault, WeatherRead};
pub use year::{SHORT_DAY_H, SiteYear, frosts_of_its_own, median_frosts};

#[cfg(test)]
mod tests;
