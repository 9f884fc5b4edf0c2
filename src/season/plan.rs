//! A garden with everything worked out of it, kept up to date edit by edit.

mod replay;

pub use replay::Replayed;

use std::collections::{BTreeSet, HashMap};
use std::sync::{Arc, OnceLock};
use std::thread;

use chrono::NaiveDate;

use super::inputs::{Index, Inputs, Reach};
use super::order::Order;
use super::outlook::{Outlook, Records};
use super::shade::Shadows;
use super::work_out::{set_out_in, work_out};
use super::{BedSeason, Candidate, Explanation, Finding, FreeUp, Help, Preview, Standing};
use super::{accept, bounds, follow, free, preview, propose, shade, slot, words};
use crate::climate::Weather;
use crate::crops::{BookError, CropBook, Raised};
use crate::garden::{
    Accepted, ClimateChoice, Edit, EditError, EntryId, Garden, How, PlannedDates, Planting, PlantingId, Record, Undo,
};
use crate::growth::Almanac;
use crate::rotation::{CropGraph, Policy};
use crate::units::{Point, Rect, Week};

/// Beds from which on the work is shared out over threads; below it starting them costs more than it saves (starting value).
const BEDS_FOR_THREADS: usize = 64;

/// Threads a garden is shared out over at most.
const THREADS_MAX: usize = 4;

/// Names given that are nearest to one that no book knows.
const NEAR_NAMES: usize = 3;

/// A garden, its book, and what follows from both.
#[derive(Debug)]
pub struct Plan {
    garden: Garden,
    /// The book without the garden's own crops.
    book_given: Arc<CropBook>,
    book: Arc<CropBook>,
    book_error: Option<BookError>,
    graph: CropGraph,
    outlook: Outlook,
    /// Where shadows may fall.
    shadows: Shadows,
    policy: Policy,
    index: Index,
    beds: Vec<BedSeason>,
    undo: Undo,
    /// What the edits that undo would take back reach, in step with `undo`; likewise for redo.
    done_reach: Vec<Reach>,
    undone_reach: Vec<Reach>,
    revision: u64,
    /// State of the garden at each revision, see [`Undo::state`].
    states: Vec<u64>,
    /// Made when first asked for after an edit.
    order: OnceLock<Order>,
    /// Names near those of crops that no book knows, made when first asked for after an edit.
    near_names: OnceLock<HashMap<String, Vec<String>>>,
}

impl Plan {
    /// Works a garden out. `book` is the embedded book; the garden's own crops are laid over it.
    /// If these do not hold together the book is used alone, and [`Plan::book_error`] says why.
    pub fn new(garden: Garden, book: &Arc<CropBook>) -> Self {
        Self::with_weather(garden, book, None)
    }

    /// The same at a site whose recorded weather was read: it gives dates their spread, and, if the site asks for it, their days.
    pub fn with_weather(garden: Garden, book: &Arc<CropBook>, weather: Option<Arc<Weather>>) -> Self {
        let mut plan = Self::begun(garden, book, weather);
        plan.work_out_all();
        plan
    }

    /// A plan of which no bed is worked out yet.
    fn begun(garden: Garden, book: &Arc<CropBook>, weather: Option<Arc<Weather>>) -> Self {
        let book_given = Arc::clone(book);
        let (book, book_error) = book_of(&garden, book);
        let graph = CropGraph::of_book(&book);
        Self {
            outlook: Outlook::new(&garden.site, Records::of(&garden.site, weather)),
            shadows: Shadows::of_garden(&garden, &book),
            policy: policy_of(&garden),
            index: Index::of_garden(&garden, &book),
            graph,
            garden,
            book_given,
            book,
            book_error,
            beds: Vec::new(),
            undo: Undo::default(),
            done_reach: Vec::new(),
            undone_reach: Vec::new(),
            revision: 0,
            states: vec![0],
            order: OnceLock::new(),
            near_names: OnceLock::new(),
        }
    }

    /// Keeps weather records that were read, by the name of their file, for a site that asks for them now or later.
    pub fn know_weather(&mut self, file: &str, weather: Arc<Weather>) {
        self.outlook.know(file, weather);
        if matches!(&self.garden.site.climate, ClimateChoice::Weather { file: asked } if asked == file) {
            self.revision += 1;
            self.states.push(self.undo.state());
            self.work_out_all();
        }
    }

    /// The garden.
    pub fn garden(&self) -> &Garden {
        &self.garden
    }

    /// The book with the garden's own crops.
    pub fn book(&self) -> &CropBook {
        &self.book
    }

    /// Why the garden's own crops are left out, if they are.
    pub fn book_error(&self) -> Option<&BookError> {
        self.book_error.as_ref()
    }

    /// The almanac of the garden's site.
    pub fn almanac(&self) -> &Almanac {
        &self.outlook.almanac
    }

    /// Counts up with every change.
    pub fn revision(&self) -> u64 {
        self.revision
    }

    /// Whether the garden is as it was at a revision: nothing was edited since, or all of it was taken back.
    pub fn is_as_at(&self, revision: u64) -> bool {
        let was = usize::try_from(revision).ok().and_then(|revision| self.states.get(revision));
        was == Some(&self.undo.state())
    }

    pub(super) fn graph(&self) -> &CropGraph {
        &self.graph
    }

    pub(super) fn inputs(&self) -> Inputs<'_> {
        Inputs {
            garden: &self.garden,
            book: &self.book,
            graph: &self.graph,
            almanac: &self.outlook.almanac,
            policy: &self.policy,
            index: &self.index,
        }
    }
}

/// Edits.
impl Plan {
    /// Makes an edit and works out again what it touches; returns the step, for the journal.
    ///
    /// # Errors
    /// The edit does not apply; nothing is changed then.
    pub fn apply(&mut self, edit: Edit) -> Result<Record, EditError> {
        let name_of = |id: &str| self.book.crop(id).map(|crop| words::in_text(&crop.name).into_owned());
        let title = edit.title_naming(&self.garden, &name_of);
        self.apply_called(title, edit)
    }

    fn apply_called(&mut self, title: String, edit: Edit) -> Result<Record, EditError> {
        let mut reach = Reach::of_edit(&edit);
        let mut touched = Touched::of_beds(edit.touched_beds(&self.garden));
        touched.add_beds_of(&reach.plantings, &self.garden);
        let inverse = edit.clone().apply_to(&mut self.garden)?;
        reach.add_names_of(&inverse);
        self.undo.done(title.clone(), inverse);
        self.bring_up_to_date(&reach, touched);
        self.done_reach.push(reach);
        self.undone_reach.clear();
        Ok(Record { how: How::Made, title, edit })
    }

    /// Takes the last edit back; returns the step, with the title of what was taken back.
    pub fn undo(&mut self) -> Option<Record> {
        let reach = self.done_reach.last().cloned()?;
        let mut touched = Touched::default();
        touched.add_beds_of(&reach.plantings, &self.garden);
        let (record, _) = self.undo.undo(&mut self.garden)?;
        self.bring_up_to_date(&reach, touched);
        self.done_reach.pop();
        self.undone_reach.push(reach);
        Some(record)
    }

    /// Makes the last undone edit again; returns the step.
    pub fn redo(&mut self) -> Option<Record> {
        let reach = self.undone_reach.last().cloned()?;
        let mut touched = Touched::default();
        touched.add_beds_of(&reach.plantings, &self.garden);
        let (record, _) = self.undo.redo(&mut self.garden)?;
        self.bring_up_to_date(&reach, touched);
        self.undone_reach.pop();
        self.done_reach.push(reach);
        Some(record)
    }

    /// What undo would take back.
    pub fn undo_title(&self) -> Option<&str> {
        self.undo.undo_title()
    }

    /// What redo would make again.
    pub fn redo_title(&self) -> Option<&str> {
        self.undo.redo_title()
    }

    /// Brings look-up tables and results up to date after the garden has changed.
    fn bring_up_to_date(&mut self, reach: &Reach, mut touched: Touched) {
        self.revision += 1;
        self.states.push(self.undo.state());
        touched.add_beds_of(&reach.plantings, &self.garden);
        touched.bed_ids.extend(reach.bed_ids.iter().cloned());
        self.policy = policy_of(&self.garden);
        self.outlook.bring_up_to_date(&self.garden.site);
        self.order = OnceLock::new();
        self.near_names = OnceLock::new();
        let n_beds_before = self.beds.len();
        if reach.is_walk_changed {
            self.walk_anew(&mut touched);
        } else {
            for &id in &reach.plantings {
                let is_in = self.garden.planting(id).and_then(|planting| self.bed_idx(&planting.bed));
                for bed_id in &touched.bed_ids {
                    let was_in = self.index.bed_idx_by_id.get(bed_id).copied();
                    self.index.refile(id, was_in, None);
                }
                self.index.refile(id, None, is_in);
            }
            if reach.is_record_changed {
                self.index.reread_records(&self.garden);
            }
        }
        if reach.is_book_changed {
            self.reread_book();
        } else if reach.is_worth_changed {
            self.index.reread_worth(&self.garden, &self.book);
        }
        let is_all = reach.is_all || reach.is_book_changed;
        if reach.is_walk_changed || is_all {
            self.shadows = Shadows::of_garden(&self.garden, &self.book);
        }
        if is_all || !bounds::is_shared_out_alike(n_beds_before, self.garden.beds.len()) {
            self.work_out_all();
            return;
        }
        let bed_idxs: BTreeSet<usize> = touched.bed_ids.iter().filter_map(|id| self.bed_idx(id)).collect();
        for &bed_idx in &bed_idxs {
            let season = work_out(self.inputs(), bed_idx, &self.inputs().plantings(bed_idx));
            if let Some(bed) = self.beds.get_mut(bed_idx) {
                *bed = season;
            }
        }
        let shaded: BTreeSet<usize> = if reach.is_walk_changed {
            (0..self.beds.len()).collect()
        } else {
            bed_idxs.iter().flat_map(|&bed_idx| self.shadows.near(bed_idx)).chain(bed_idxs.iter().copied()).collect()
        };
        let shaded: Vec<usize> = shaded.into_iter().collect();
        let inputs = self.inputs();
        let found = share_out(shaded.len(), |place| {
            shaded.get(place).map_or_else(Vec::new, |&at| shade::of_bed(inputs, &self.shadows, &self.beds, at))
        });
        for (bed_idx, found) in shaded.into_iter().zip(found) {
            if let Some(bed) = self.beds.get_mut(bed_idx) {
                shade::put_in(bed, found);
            }
        }
    }

    /// Lays the garden's own crops over the book anew, and forgets all that was found in the old one.
    fn reread_book(&mut self) {
        (self.book, self.book_error) = book_of(&self.garden, &self.book_given);
        self.graph = CropGraph::of_book(&self.book);
        self.index = Index::of_garden(&self.garden, &self.book);
        self.outlook.forget_crops();
    }

    /// Works every bed out, then the shadows that fall from one into another.
    fn work_out_all(&mut self) {
        let inputs = self.inputs();
        let beds = share_out(inputs.garden.beds.len(), |bed_idx| work_out(inputs, bed_idx, &inputs.plantings(bed_idx)));
        let found = share_out(beds.len(), |bed_idx| shade::of_bed(inputs, &self.shadows, &beds, bed_idx));
        self.beds = beds;
        for (bed, found) in self.beds.iter_mut().zip(found) {
            shade::put_in(bed, found);
        }
    }

    pub(super) fn outlook(&self) -> &Outlook {
        &self.outlook
    }

    pub(super) fn shadows(&self) -> &Shadows {
        &self.shadows
    }

    /// The names of the book nearest to one that it does not know. Of a garden that names many such crops they are sought for the
    /// first ones only.
    pub(super) fn names_near(&self, crop: &str) -> Vec<String> {
        let sought = self.near_names.get_or_init(|| {
            let planted = self.garden.plantings.iter().map(|planting| planting.crop.as_str());
            let past = self.garden.past.iter().map(|past| past.what.as_str());
            let mut near = HashMap::new();
            for name in planted.chain(past) {
                if near.len() == bounds::NEAR_NAMES_MAX {
                    break;
                }
                if self.book.crop_idx(name).is_none() && !near.contains_key(name) {
                    near.insert(name.to_owned(), self.book.nearest_names(name, NEAR_NAMES));
                }
            }
            near
        });
        match sought.get(crop) {
            Some(near) => near.clone(),
            // One that is only previewed, perhaps.
            None if sought.len() < bounds::NEAR_NAMES_MAX => self.book.nearest_names(crop, NEAR_NAMES),
            None => Vec::new(),
        }
    }

    pub(super) fn order(&self) -> &Order {
        self.order.get_or_init(|| Order::of_beds(&self.beds))
    }

    /// Results of beds that stay are carried to their new places; beds not known before are to be worked out.
    fn walk_anew(&mut self, touched: &mut Touched) {
        let places_before = std::mem::take(&mut self.index.bed_idx_by_id);
        self.index.reread_beds(&self.garden);
        self.index.reread_records(&self.garden);
        let mut before = std::mem::take(&mut self.beds);
        for (bed_idx, bed) in self.garden.beds.iter().enumerate() {
            let known = places_before.get(&bed.id).and_then(|&place| before.get_mut(place));
            let season = known.map(|season| {
                let mut season = std::mem::take(season);
                season.findings.iter_mut().for_each(|finding| finding.bed_idx = bed_idx);
                season
            });
            if season.is_none() {
                touched.bed_ids.insert(bed.id.clone());
            }
            self.beds.push(season.unwrap_or_default());
        }
    }
}

/// Queries.
impl Plan {
    /// Every bed, in the garden's order.
    pub fn beds(&self) -> &[BedSeason] {
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

    /// Station centres of a planting (set out anew).
    pub fn stations(&self, id: PlantingId) -> Vec<Point> {
        let Some((planting, bed_idx)) = self.garden.planting(id).zip(self.bed_idx_of(id)) else { return Vec::new() };
        let Some(bed) = self.garden.beds.get(bed_idx) else { return Vec::new() };
        set_out_in(bed, planting, &self.inputs().plantings(bed_idx)).map_or_else(|_| Vec::new(), |set| set.stations)
    }

    /// A finding in words.
    pub fn explain(&self, finding: &Finding) -> Explanation {
        words::explain(self, finding, &mut Help::of_one())
    }

    /// A finding in words, as long as there is help left for those that are told together; other beds are looked for if it says so.
    pub fn explain_within(&self, finding: &Finding, help: &mut Help) -> Explanation {
        words::explain(self, finding, help)
    }

    /// A finding in words, without looking for other beds: for telling many findings at once.
    pub fn explain_in_place(&self, finding: &Finding) -> Explanation {
        words::explain_in_place(self, finding, &mut Help::of_one())
    }

    /// A finding in one line, cheap enough for every frame.
    pub fn headline(&self, finding: &Finding) -> String {
        words::headline(self, finding, None)
    }

    /// A finding of a preview in one line: `planting` is the one that was previewed.
    pub fn headline_preview(&self, finding: &Finding, planting: &Planting) -> String {
        words::headline(self, finding, Some(planting))
    }

    /// The acceptance of a finding, without a number yet; `None` if it is about no planting. That of an empty bed names the planting
    /// beside it.
    pub fn acceptance(&self, finding: &Finding, reason: &str) -> Option<Accepted> {
        let standing = self.standing_in(finding.bed_idx);
        Some(Accepted {
            id: EntryId::NONE,
            rule: accept::rule_name(&finding.says).to_owned(),
            planting: accept::planting_named(standing, finding)?,
            against: accept::against(&self.garden, &self.book, standing, &finding.says),
            reason: reason.to_owned(),
        })
    }

    /// What a planting would come to if it were placed, or changed to this if its number exists.
    pub fn preview(&self, planting: &Planting) -> Preview {
        preview::preview(self, planting)
    }

    /// When a bed frees up, seen from a day.
    pub fn free_up(&self, bed_idx: usize, day: NaiveDate) -> FreeUp {
        match self.garden.beds.get(bed_idx) {
            Some(bed) => {
                let standing = self.standing_in(bed_idx);
                self.with_range(standing, day, free::free_up(bed, standing, day))
            }
            None => FreeUp::of_nothing(day),
        }
    }

    /// When a bed frees up, seen from a week: from `today` if that lies in it, else from its Monday. What still goes in
    /// within the week counts as standing: with it the bed is seen from the Sunday. Gives that day too.
    pub fn free_up_in_week(&self, bed_idx: usize, week: Week, today: NaiveDate) -> (NaiveDate, FreeUp) {
        let day = if Week::of(today) == week { today } else { week.monday() };
        let enters_in_week =
            |standing: &Standing| day < standing.stages.enters && standing.stages.enters <= week.sunday();
        let day = if self.standing_in(bed_idx).iter().any(enters_in_week) { week.sunday() } else { day };
        (day, self.free_up(bed_idx, day))
    }

    /// What could go into a bed on a day, best first; plants must be raised from that day on.
    pub fn candidates(&self, bed_idx: usize, day: NaiveDate) -> Vec<Candidate> {
        follow::candidates(self, bed_idx, day, day)
    }

    /// What could go into a bed on a day to come, best first, if raising can begin `today`.
    pub fn candidates_seen_from(&self, bed_idx: usize, day: NaiveDate, today: NaiveDate) -> Vec<Candidate> {
        follow::candidates(self, bed_idx, day, today)
    }

    /// A planting of that crop filled with sensible values for a bed on a day: a free strip if there is one,
    /// the book's spacing, its usual way of raising.
    pub fn proposed_planting(&self, bed_idx: usize, crop_id: &str, day: NaiveDate) -> Option<Planting> {
        propose::proposed_planting(self, bed_idx, crop_id, day)
    }

    /// The dates to propose for a crop raised that way in a bed from a day on: it goes in in the first week in which books
    /// put it in and growth and weather say no caution against it, or the least bad. `None` if books never raise it so.
    pub fn proposed_dates(
        &self,
        bed_idx: usize,
        crop_id: &str,
        raised: Raised,
        day: NaiveDate,
    ) -> Option<PlannedDates> {
        propose::proposed_dates(self, bed_idx, crop_id, raised, day)
    }

    /// A planting of that crop between the stations of one that stands in the bed, from a day on;
    /// `None` if there is no such bed, host or crop.
    pub fn proposed_interplanting(
        &self,
        bed_idx: usize,
        host: PlantingId,
        crop_id: &str,
        day: NaiveDate,
    ) -> Option<Planting> {
        propose::proposed_interplanting(self, bed_idx, host, crop_id, day)
    }

    /// The same planting moved to the next slot of its bed in which its ground is free, for duplicating;
    /// else of the beds after it in the walk, round to its own.
    pub fn next_free_slot(&self, planting: &Planting) -> Option<Planting> {
        slot::next_free_slot(self, planting)
    }

    /// The same planting in the week nearest to its own, not before a day, in which books put it in and some bed has a free slot for
    /// it; its later days are worked out anew. `None` if there is none within a year.
    pub fn nearest_slot(&self, planting: &Planting, not_before: NaiveDate) -> Option<Planting> {
        slot::nearest_slot(self, planting, not_before)
    }

    /// What stands in a planting's bed while it does, itself included.
    pub fn in_the_way(&self, planting: &Planting) -> Vec<PlantingId> {
        slot::in_the_way(self, planting)
    }

    /// Whether nothing stands on a piece of ground of a bed in `from..until`.
    pub fn is_free(&self, bed_idx: usize, ground: Rect, from: NaiveDate, until: NaiveDate) -> bool {
        free::is_free(self.standing_in(bed_idx), ground, from, until)
    }
}

fn policy_of(garden: &Garden) -> Policy {
    Policy { by_family: garden.return_years_by_family(), for_all: None }
}

/// The book with the garden's own crops; where these do not hold together the book alone, and why.
fn book_of(garden: &Garden, book: &Arc<CropBook>) -> (Arc<CropBook>, Option<BookError>) {
    if garden.own_crops.is_empty() {
        return (Arc::clone(book), None);
    }
    match book.with_own_crops(&garden.own_crops) {
        Ok(own) => (Arc::new(own), None),
        Err(error) => (Arc::clone(book), Some(error)),
    }
}

/// Does something for every bed, shared out over threads if there are many.
fn share_out<T: Send>(n_beds: usize, one: impl Fn(usize) -> T + Sync) -> Vec<T> {
    let n_threads = thread::available_parallelism().map_or(1, usize::from).min(THREADS_MAX);
    if n_beds < BEDS_FOR_THREADS || n_threads < 2 {
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

/// Beds to work out again. That an edit names every bed may only mean that their places shift: then the results are
/// carried over (see [`Plan::walk_anew`]); where it must be every bed, [`Reach::is_all`] says so.
#[derive(Debug, Default)]
struct Touched {
    bed_ids: BTreeSet<String>,
}

impl Touched {
    fn of_beds(beds: Option<Vec<String>>) -> Self {
        Self { bed_ids: beds.into_iter().flatten().collect() }
    }

    fn add_beds_of(&mut self, plantings: &[PlantingId], garden: &Garden) {
        let beds = plantings.iter().filter_map(|&id| garden.planting(id)).map(|planting| planting.bed.clone());
        self.bed_ids.extend(beds);
    }
}
