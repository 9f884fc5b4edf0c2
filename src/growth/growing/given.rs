//! The dates that a grower gave.

use chrono::NaiveDate;

use crate::crops::Raised;
use crate::garden::{PlannedDates, RealDates};
use crate::growth::day::plus_days;
use crate::growth::stages::StagesError;

/// What each date is called in a message, in the order in which they come.
const NAMES: [&str; 5] = ["sowing", "planting", "the first pick", "the last pick", "clearing"];

/// Dates that are kept as they are: each real one, and each planned one that no real one has overtaken.
#[derive(Debug, Clone, Copy)]
pub(super) struct Given {
    /// Sown in modules; `None` for all other ways of raising.
    pub(super) sow: Option<NaiveDate>,
    /// Sown in place or set out.
    pub(super) enters: Option<NaiveDate>,
    pub(super) first_pick: Option<NaiveDate>,
    pub(super) last_pick: Option<NaiveDate>,
    pub(super) clear: Option<NaiveDate>,
}

impl Given {
    /// # Errors
    /// Dates that run backwards.
    pub(super) fn new(planned: &PlannedDates, real: &RealDates, raised: Raised) -> Result<Self, StagesError> {
        let [sow, plant, first_pick, last_pick, clear] = real_before_planned(planned, real);
        // Unless a crop is raised in modules, its sowing and its planting are one day: either date may give it.
        let (sow, enters) = match raised {
            Raised::Module => (sow, plant),
            Raised::InPlace => (None, sow.or(plant)),
            _ => (None, plant.or(sow)),
        };
        let given = Self { sow, enters, first_pick, last_pick, clear };
        given.refuse_reversed()?;
        Ok(given)
    }

    fn refuse_reversed(&self) -> Result<(), StagesError> {
        let in_order = [self.sow, self.enters, self.first_pick, self.last_pick, self.clear];
        let mut given = in_order.into_iter().zip(NAMES).filter_map(|(day, name)| day.map(|day| (day, name)));
        let Some((mut earlier_on, mut earlier)) = given.next() else { return Ok(()) };
        for (later_on, later) in given {
            if later_on < earlier_on {
                return Err(StagesError::Reversed { earlier, earlier_on, later, later_on });
            }
            (earlier_on, earlier) = (later_on, later);
        }
        Ok(())
    }

    /// The earliest date that is given of a time when the crop already stands.
    pub(super) fn stands_by(&self) -> Option<NaiveDate> {
        [self.first_pick, self.last_pick, self.clear].into_iter().flatten().min()
    }

    /// The first day on which its ground is free by the dates that are given.
    pub(super) fn free_on(&self) -> Option<NaiveDate> {
        self.clear.or_else(|| self.last_pick.map(|last| plus_days(last, 1)))
    }
}

fn real_before_planned(planned: &PlannedDates, real: &RealDates) -> [Option<NaiveDate>; 5] {
    let planned = [planned.sow, planned.plant, planned.first_pick, planned.last_pick, planned.clear];
    let real = [real.sow, real.plant, real.first_pick, real.last_pick, real.clear];
    let is_overtaken = |place: usize, day: NaiveDate| {
        real.iter().enumerate().any(|(other, happened)| {
            happened.is_some_and(|on| (other < place && on > day) || (other > place && on < day))
        })
    };
    std::array::from_fn(|place| real[place].or_else(|| planned[place].filter(|day| !is_overtaken(place, *day))))
}
