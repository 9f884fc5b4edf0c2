//! What is known of a site, and sites whose tables are shared by everything that asks for the same climate and records: a garden read again, a draft and its
//! garden, one plan after another. The last few are kept.

use std::sync::{Arc, Mutex, OnceLock, PoisonError};

use super::sky::{REFERENCE, Sky};
use super::years::YearSkies;
use crate::climate::{Climate, Weather};

/// What is known of a site.
#[derive(Debug)]
pub(super) struct AtSite {
    pub(super) climate: Arc<Climate>,
    pub(super) weather: Option<Arc<Weather>>,
    pub(super) sky: Arc<Sky>,
    pub(super) book: Arc<Sky>,
    /// Skies of single years, made when dates are first asked for with their spread.
    years: OnceLock<YearSkies>,
}

impl AtSite {
    pub(super) fn new(climate: &Arc<Climate>, weather: Option<&Arc<Weather>>) -> Option<Arc<Self>> {
        let book = REFERENCE.as_ref()?;
        Some(Arc::new(Self {
            climate: Arc::clone(climate),
            weather: weather.map(Arc::clone),
            sky: Arc::new(Sky::of_climate(climate, 0.0)),
            book: Arc::clone(book),
            years: OnceLock::new(),
        }))
    }

    pub(super) fn year_skies(&self) -> &YearSkies {
        self.years.get_or_init(|| YearSkies::new(&self.climate, self.weather.as_ref()))
    }
}

/// Most sites kept; each holds some tables of a year for every crop and cover asked for.
const N_KEPT: usize = 4;

/// The site asked for last comes last.
static KEPT: Mutex<Vec<Arc<AtSite>>> = Mutex::new(Vec::new());

/// The site of that climate and those records: one that is kept, or a new one.
pub(super) fn shared(climate: &Arc<Climate>, weather: Option<&Arc<Weather>>) -> Option<Arc<AtSite>> {
    let is_same = |site: &Arc<AtSite>| {
        let has_same_records = match (&site.weather, weather) {
            (None, None) => true,
            (Some(one), Some(other)) => Arc::ptr_eq(one, other),
            _ => false,
        };
        has_same_records && site.climate == *climate
    };
    // Sites are only ever put in whole, so those left by a thread that panicked while it held the lock can be used.
    let mut kept = KEPT.lock().unwrap_or_else(PoisonError::into_inner);
    let site = match kept.iter().position(is_same) {
        Some(place) => kept.remove(place),
        None => AtSite::new(climate, weather)?,
    };
    if kept.len() >= N_KEPT {
        kept.remove(0);
    }
    kept.push(Arc::clone(&site));
    Some(site)
}

#[cfg(test)]
mod tests {
    use super::super::almanac::Almanac;
    use super::*;
    use crate::climate;

    fn shared_almanac(climate: &Climate) -> Almanac {
        Almanac::shared(&Arc::new(climate.clone()), None)
    }

    fn is_one(a: &Almanac, b: &Almanac) -> bool {
        Arc::ptr_eq(a.site.as_ref().unwrap(), b.site.as_ref().unwrap())
    }

    #[test]
    fn the_same_climate_has_one_site_and_another_its_own() {
        let mut climate = climate::reference().unwrap();
        // A name that no other test asks for.
        climate.name = "shared by two".to_owned();
        let (one, other) = (shared_almanac(&climate), shared_almanac(&climate));
        assert!(is_one(&one, &other));
        assert!(!is_one(&one, &Almanac::new(&Arc::new(climate.clone()), None)), "made anew where asked for");
        climate.normals.tmin_c[0] -= 1.0;
        assert!(!is_one(&one, &shared_almanac(&climate)));
    }

    #[test]
    fn what_was_not_asked_for_lately_is_let_go() {
        let mut climate = climate::reference().unwrap();
        climate.name = "let go".to_owned();
        let weak = Arc::downgrade(shared_almanac(&climate).site.as_ref().unwrap());
        for n in 0..=N_KEPT {
            climate.name = format!("newer {n}");
            shared_almanac(&climate);
        }
        assert!(weak.upgrade().is_none());
    }
}
