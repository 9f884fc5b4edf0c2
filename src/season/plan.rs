//! A garden with everything worked out of it.
//!
//! A plan is a function of its garden, the weather read for its site, and the book. It is worked out bed by bed, and what one bed comes
//! to is shared by all plans in which nothing that it depends on differs: [`Reach`] says what an edit takes from that, so a garden one
//! edit away ([`Plan::with`]) costs the beds the edit reaches and their shadows. Nothing here asks a question of a plan: each question
//! stands in a file of its own above this one, with its methods.

mod reach;

pub(super) use reach::Reach;

use std::collections::{BTreeSet, HashMap};
use std::sync::{Arc, OnceLock};
use std::thread;

use chrono::NaiveDate;

use super::inputs::{Index, Inputs};
use super::order::Order;
use super::outlook::{Outlook, Records, Spreads};
use super::shade::{Cast, Known, Shadows};
use super::types::Look;
use super::work_out::work_out;
use super::{BedSeason, Standing, bounds, shade};
use crate::climate::Weather;
use crate::crops::{BookError, CropBook};
use crate::garden::{ClimateChoice, Edit, EditError, Garden, PlantingId, RealDates};
use crate::growth::Almanac;
use crate::rotation::{CropGraph, Policy};

/// Least number of beds for which the work is divided among threads; with fewer, starting them costs more than it saves (starting
/// value).
const BEDS_FOR_THREADS: usize = 64;

/// Threads among which a garden is divided, at most.
const THREADS_MAX: usize = 4;

/// How many similar names are given for one that the book lacks.
const NEAR_NAMES: usize = 3;

/// A garden, its book, and what follows from both. A copy shares all of it.
#[derive(Debug, Clone)]
pub struct Plan {
    garden: Garden,
    /// The book without the garden's own crops.
    book_given: Arc<CropBook>,
    /// Weather that was read.
    records: Arc<Records>,
    crops: Arc<Crops>,
    outlook: Arc<Outlook>,
    /// Where shadows may fall.
    shadows: Arc<Shadows>,
    policy: Arc<Policy>,
    index: Index,
    beds: Vec<Arc<BedSeason>>,
    /// How the shadows of each bed fall, where it has a tall crop.
    casts: Vec<Option<Arc<Cast>>>,
    look: Look,
    memo: Memo,
}

/// The book with a garden's own crops, and its graph.
#[derive(Debug)]
struct Crops {
    book: Arc<CropBook>,
    error: Option<BookError>,
    graph: CropGraph,
}

/// What was asked of one plan and may be asked again.
#[derive(Debug, Default)]
struct Memo {
    order: OnceLock<Order>,
    /// Names near those of crops that no book knows.
    near_names: OnceLock<HashMap<String, Vec<String>>>,
    spreads: Spreads,
}

/// A copy is about to become another plan, of which nothing was asked yet.
impl Clone for Memo {
    fn clone(&self) -> Self {
        Self::default()
    }
}

impl Crops {
    /// Lays the garden's own crops over the book; where these do not hold together the book is alone, and it says why.
    fn of(garden: &Garden, book_given: &Arc<CropBook>) -> Self {
        let (book, error) = if garden.own_crops.is_empty() {
            (Arc::clone(book_given), None)
        } else {
            match book_given.with_own_crops(&garden.own_crops) {
                Ok(own) => (Arc::new(own), None),
                Err(error) => (Arc::clone(book_given), Some(error)),
            }
        };
        Self { graph: CropGraph::of_book(&book), book, error }
    }
}

impl Plan {
    /// Works a garden out. `book` is the embedded book; the garden's own crops are laid over it.
    /// If these do not hold together the book is used alone, and [`Plan::book_error`] says why.
    pub fn new(garden: Garden, book: &Arc<CropBook>) -> Self {
        Self::with_weather(garden, book, None)
    }

    /// The same at a site whose recorded weather was read: it gives dates their spread, and, if the site asks for it, their days.
    pub fn with_weather(garden: Garden, book: &Arc<CropBook>, weather: Option<Arc<Weather>>) -> Self {
        let records = Records::of(&garden.site, weather);
        Self::with_records(garden, book, records)
    }

    /// The same with all weather that was read.
    pub(super) fn with_records(garden: Garden, book: &Arc<CropBook>, records: Records) -> Self {
        let crops = Crops::of(&garden, book);
        let mut plan = Self {
            outlook: Arc::new(Outlook::new(&garden.site, &records)),
            shadows: Arc::new(Shadows::of_garden(&garden, &crops.book)),
            policy: Arc::new(policy_of(&garden)),
            index: Index::of_garden(&garden, &crops.book),
            crops: Arc::new(crops),
            garden,
            book_given: Arc::clone(book),
            records: Arc::new(records),
            beds: Vec::new(),
            casts: Vec::new(),
            look: Look::default(),
            memo: Memo::default(),
        };
        plan.work_out_all();
        plan
    }

    /// The plan of the garden after an edit. It shares with this one whatever the edit does not reach, so that many gardens one edit
    /// away can be weighed.
    ///
    /// # Errors
    /// The edit does not apply.
    pub fn with(&self, edit: Edit) -> Result<Self, EditError> {
        let mut plan = self.clone();
        plan.change(edit)?;
        Ok(plan)
    }

    /// The same plan seen on a day: what is past by then is not listed.
    #[must_use]
    pub fn seen_on(mut self, today: NaiveDate) -> Self {
        (self.look.today, self.memo) = (Some(today), Memo::default());
        self
    }

    /// The same plan, in which what is past or kept quiet is listed too, or not.
    #[must_use]
    pub fn showing_all(mut self, shows_all: bool) -> Self {
        self.show_all(shows_all);
        self
    }

    /// Lists what is past or kept quiet too, or not.
    pub(super) fn show_all(&mut self, shows_all: bool) {
        (self.look.shows_all, self.memo) = (shows_all, Memo::default());
    }

    /// Whether what is past or kept quiet is listed.
    pub fn shows_all(&self) -> bool {
        self.look.shows_all
    }

    pub(super) fn look(&self) -> Look {
        self.look
    }

    /// The garden.
    pub fn garden(&self) -> &Garden {
        &self.garden
    }

    /// The book with the garden's own crops.
    pub fn book(&self) -> &CropBook {
        &self.crops.book
    }

    /// Why the garden's own crops are left out, if they are.
    pub fn book_error(&self) -> Option<&BookError> {
        self.crops.error.as_ref()
    }

    /// The almanac of the garden's site.
    pub fn almanac(&self) -> &Almanac {
        &self.outlook.almanac
    }

    /// Every bed, in the garden's order.
    pub fn beds(&self) -> &[Arc<BedSeason>] {
        &self.beds
    }

    /// The bed's place in the garden's order.
    pub fn bed_idx(&self, id: &str) -> Option<usize> {
        self.index.bed_idx_by_id.get(id).copied()
    }

    /// The place of the bed a planting is in.
    pub fn bed_idx_of(&self, id: PlantingId) -> Option<usize> {
        self.garden.planting(id).and_then(|planting| self.bed_idx(&planting.bed))
    }

    /// A planting worked out.
    pub fn standing(&self, id: PlantingId) -> Option<&Standing> {
        self.standing_in(self.bed_idx_of(id)?).iter().find(|standing| standing.id == id)
    }

    /// The plantings of a bed, by the day they enter; none if there is no such bed.
    pub fn standing_in(&self, bed_idx: usize) -> &[Standing] {
        self.beds.get(bed_idx).map_or(&[], |bed| &bed.standing)
    }

    /// What really happened to a planting.
    pub fn real(&self, id: PlantingId) -> RealDates {
        self.inputs().real(id)
    }

    pub(super) fn graph(&self) -> &CropGraph {
        &self.crops.graph
    }

    pub(super) fn inputs(&self) -> Inputs<'_> {
        Inputs {
            garden: &self.garden,
            book: &self.crops.book,
            graph: &self.crops.graph,
            almanac: &self.outlook.almanac,
            policy: &self.policy,
            index: &self.index,
        }
    }

    pub(super) fn outlook(&self) -> &Outlook {
        &self.outlook
    }

    pub(super) fn records(&self) -> &Records {
        &self.records
    }

    pub(super) fn shadows(&self) -> &Shadows {
        &self.shadows
    }

    pub(super) fn order(&self) -> &Order {
        self.memo.order.get_or_init(|| Order::of_beds(&self.beds, self.look))
    }

    pub(super) fn spreads(&self) -> &Spreads {
        &self.memo.spreads
    }

    /// The names of the book nearest to one that it does not know. Of a garden that names many such crops they are sought for the
    /// first ones only.
    pub(super) fn names_near(&self, crop: &str) -> Vec<String> {
        let sought = self.memo.near_names.get_or_init(|| {
            let planted = self.garden.plantings.iter().map(|planting| planting.crop.as_str());
            let past = self.garden.past.iter().map(|past| past.what.as_str());
            let mut near = HashMap::new();
            for name in planted.chain(past) {
                if near.len() == bounds::NEAR_NAMES_MAX {
                    break;
                }
                if self.crops.book.crop_idx(name).is_none() && !near.contains_key(name) {
                    near.insert(name.to_owned(), self.crops.book.nearest_names(name, NEAR_NAMES));
                }
            }
            near
        });
        match sought.get(crop) {
            Some(near) => near.clone(),
            // Perhaps the crop of a planting that is only previewed.
            None if sought.len() < bounds::NEAR_NAMES_MAX => self.crops.book.nearest_names(crop, NEAR_NAMES),
            None => Vec::new(),
        }
    }
}

#[cfg(test)]
impl Plan {
    /// The first look-up table that another plan does not have alike.
    pub(super) fn table_unlike(&self, other: &Self) -> Option<&'static str> {
        let crops = |plan: &Self| format!("{:?} {:?}", plan.book().crops(), plan.book_error());
        let climate = |plan: &Self| format!("{:?}", plan.almanac().climate());
        let alike = [
            (self.index == other.index, "index"),
            (self.policy == other.policy, "policy"),
            (self.shadows == other.shadows, "where shadows fall"),
            (self.casts == other.casts, "shadows"),
            (climate(self) == climate(other), "climate"),
            (self.n_findings() == other.n_findings(), "order of findings"),
            (Arc::ptr_eq(&self.crops.book, &other.crops.book) || crops(self) == crops(other), "book"),
        ];
        alike.into_iter().find(|(is_alike, _)| !is_alike).map(|(_, table)| table)
    }
}

/// Changes.
impl Plan {
    /// Makes an edit and works out again what it reaches; returns its inverse.
    ///
    /// # Errors
    /// The edit does not apply; nothing is changed then.
    pub(super) fn change(&mut self, edit: Edit) -> Result<Edit, EditError> {
        let reach = Reach::before(&edit, &self.garden);
        let n_beds_before = self.garden.beds.len();
        let inverse = edit.apply_to(&mut self.garden)?;
        // It names what the edit names.
        self.work_out_reached(&reach.and_after(&inverse, &self.garden, n_beds_before));
        Ok(inverse)
    }

    /// The garden, for one who has it worked out after a change ([`Plan::work_out_reached`], [`Plan::work_out_anew`]).
    pub(super) fn garden_mut(&mut self) -> &mut Garden {
        &mut self.garden
    }

    /// Keeps weather records that were read; whether the site asks for them, so that all is worked out by them now.
    pub(super) fn know_weather(&mut self, file: &str, weather: Arc<Weather>) -> bool {
        Arc::make_mut(&mut self.records).know(file, weather);
        let is_asked = matches!(&self.garden.site.climate, ClimateChoice::Weather { file: asked } if asked == file);
        if is_asked {
            self.outlook = Arc::new(Outlook::new(&self.garden.site, &self.records));
            self.work_out_all();
        }
        is_asked
    }

    /// Works everything out again after any change to the garden.
    pub(super) fn work_out_anew(&mut self) {
        self.crops = Arc::new(Crops::of(&self.garden, &self.book_given));
        self.outlook = Arc::new(Outlook::new(&self.garden.site, &self.records));
        self.shadows = Arc::new(Shadows::of_garden(&self.garden, self.book()));
        self.policy = Arc::new(policy_of(&self.garden));
        self.index = Index::of_garden(&self.garden, self.book());
        self.work_out_all();
    }

    /// Works out what an edit that was made on the garden reaches.
    pub(super) fn work_out_reached(&mut self, reach: &Reach) {
        self.memo = Memo::default();
        if reach.is_policy {
            self.policy = Arc::new(policy_of(&self.garden));
        }
        if reach.is_book {
            self.crops = Arc::new(Crops::of(&self.garden, &self.book_given));
        }
        if reach.is_book || reach.is_site {
            self.outlook = Arc::new(Outlook::new(&self.garden.site, &self.records));
        }
        if reach.is_book || reach.is_site || reach.is_walk {
            self.shadows = Arc::new(Shadows::of_garden(&self.garden, self.book()));
        }
        let places_before = self.look_up_reached(reach);
        if reach.is_every_bed {
            self.work_out_all();
            return;
        }
        if reach.is_walk {
            self.carry_over(&places_before);
        }
        let bed_idxs: BTreeSet<usize> = reach.bed_ids.iter().filter_map(|id| self.bed_idx(id)).collect();
        for &bed_idx in &bed_idxs {
            let season = work_out(self.inputs(), bed_idx, &self.inputs().plantings(bed_idx));
            if let Some(bed) = self.beds.get_mut(bed_idx) {
                *bed = Arc::new(season);
            }
        }
        if reach.is_walk {
            self.cast_all_shadows();
        } else {
            let near = bed_idxs.iter().flat_map(|&bed_idx| self.shadows.near(bed_idx));
            let shading = near.chain(bed_idxs.iter().copied()).collect::<BTreeSet<usize>>();
            self.cast_shadows(&shading.into_iter().collect::<Vec<_>>(), Some(&bed_idxs));
        }
    }

    /// Brings the look-up tables up to date; gives the place that each bed had before in the walk.
    fn look_up_reached(&mut self, reach: &Reach) -> Arc<HashMap<String, usize>> {
        let places_before = Arc::clone(&self.index.bed_idx_by_id);
        if reach.is_book {
            self.index = Index::of_garden(&self.garden, &self.crops.book);
            return places_before;
        }
        if reach.is_walk {
            self.index.reread_beds(&self.garden);
        } else {
            let reached: Vec<usize> = reach.bed_ids.iter().filter_map(|id| self.bed_idx(id)).collect();
            for &id in &reach.plantings {
                self.index.refile(id, &reached, self.bed_idx_of(id));
            }
        }
        if reach.is_walk || reach.is_records {
            self.index.reread_records(&self.garden);
        }
        self.index.reread_real(&self.garden, &reach.told.iter().copied().collect::<Vec<_>>());
        if reach.is_worth {
            self.index.reread_worth(&self.garden, &self.crops.book);
        }
        places_before
    }

    /// Carries results to the places that their beds have now; a bed that was not there before has none yet.
    fn carry_over(&mut self, places_before: &HashMap<String, usize>) {
        let before = std::mem::take(&mut self.beds);
        for (bed_idx, bed) in self.garden.beds.iter().enumerate() {
            let known = places_before.get(&bed.id).and_then(|&place| before.get(place));
            let mut season = known.map_or_else(Arc::default, Arc::clone);
            if season.findings.iter().any(|finding| finding.bed_idx != bed_idx) {
                Arc::make_mut(&mut season).findings.iter_mut().for_each(|finding| finding.bed_idx = bed_idx);
            }
            self.beds.push(season);
        }
    }

    /// Works every bed out, then the shadows that fall from one into another.
    fn work_out_all(&mut self) {
        self.memo = Memo::default();
        let inputs = self.inputs();
        let one = |bed_idx: usize| Arc::new(work_out(inputs, bed_idx, &inputs.plantings(bed_idx)));
        self.beds = share_out(self.garden.beds.len(), one);
        self.cast_all_shadows();
    }

    /// Follows all shadows, whatever was known of them.
    fn cast_all_shadows(&mut self) {
        self.casts = vec![None; self.beds.len()];
        self.cast_shadows(&(0..self.beds.len()).collect::<Vec<_>>(), None);
    }

    /// Follows the shadows of the tall crops of some beds, after those `changed` were worked out again; `None` if nothing is known.
    fn cast_shadows(&mut self, bed_idxs: &[usize], changed: Option<&BTreeSet<usize>>) {
        let inputs = self.inputs();
        let found = share_out(bed_idxs.len(), |place| {
            let Some(&at) = bed_idxs.get(place) else { return (Vec::new(), None) };
            let cast = self.casts.get(at).and_then(Option::as_deref);
            let known = cast.zip(changed).map(|(cast, changed)| Known { cast, changed });
            shade::of_bed(inputs, &self.shadows, &self.beds, at, known)
        });
        for (&bed_idx, (found, cast)) in bed_idxs.iter().zip(found) {
            if let (Some(bed), Some(known)) = (self.beds.get_mut(bed_idx), self.casts.get_mut(bed_idx)) {
                shade::put_in(&self.garden, &self.crops.book, bed, found);
                *known = cast;
            }
        }
    }
}

fn policy_of(garden: &Garden) -> Policy {
    Policy { by_family: garden.return_years_by_family(), for_all: None }
}

/// Does something for every bed, divided among threads if there are many.
fn share_out<T: Send>(n_beds: usize, one: impl Fn(usize) -> T + Sync) -> Vec<T> {
    // The number of cores is read from system files, so it is not asked for a handful of beds.
    let n_threads = || thread::available_parallelism().map_or(1, usize::from).min(THREADS_MAX);
    let n_threads = if n_beds < BEDS_FOR_THREADS { 1 } else { n_threads() };
    if n_threads < 2 {
        return (0..n_beds).map(one).collect();
    }
    let n_each = n_beds.div_ceil(n_threads);
    let one = &one;
    thread::scope(|scope| {
        let starts = (0..n_beds).step_by(n_each);
        let shares: Vec<_> = starts
            .map(|start| scope.spawn(move || (start..(start + n_each).min(n_beds)).map(one).collect::<Vec<_>>()))
            .collect();
        let joined =
            shares.into_iter().map(|share| share.join().unwrap_or_else(|panic| std::panic::resume_unwind(panic)));
        joined.flatten().collect()
    })
}
