//! What each command does.

use crate::garden::{Bed, Edit, Planting, PlantingId};
use crate::tui::keys::Command;
use crate::tui::layers::adjust::Adjust;
use crate::tui::layers::bed_form::BedForm;
use crate::tui::layers::confirm::{Confirm, Yes};
use crate::tui::layers::finder::Finder;
use crate::tui::layers::help::Help;
use crate::tui::layers::past_form::PastForm;
use crate::tui::layers::picker::{Item, Picker, Purpose};
use crate::tui::layers::planting_form::PlantingForm;
use crate::tui::layers::prompt::{Prompt, Question};
use crate::tui::layers::site_form::SiteForm;
use crate::tui::layers::why::Why;
use crate::tui::layers::{Desk, Layer};
use crate::tui::screens::{bed, book, findings, ground, year};
use crate::tui::signs::Signs;
use crate::tui::view::{Screen, Shown};
use crate::tui::widgets::text::count;
use crate::tui::wording::{crop_of, date};
use crate::tui::{session::Session, view::View};
use crate::units::{Mm, Week};

use super::{Effect, following};

/// Plantings named that stand in the way of a repeat.
const N_NAMED: usize = 3;

/// Step of + and - on a strip.
const STRIP_STEP: Mm = Mm::from_cm(10);

/// Runs a command that can be done now.
pub fn run(command: Command, desk: &mut Desk<'_>) {
    let has_own_meaning = match desk.view.screen {
        Screen::Ground => ground::run(command, desk),
        Screen::Bed => bed::run(command, desk),
        Screen::Year => year::run(command, desk),
        Screen::Book => book::run(command, desk),
        Screen::Findings => findings::run(command, desk),
    };
    if !has_own_meaning {
        run_anywhere(command, desk);
    }
}

fn run_anywhere(command: Command, desk: &mut Desk<'_>) {
    match command {
        Command::ShowGround => desk.view.show(Screen::Ground),
        Command::ShowBed => {
            desk.view.show(Screen::Bed);
            select_standing(desk.session, desk.view);
        }
        Command::ShowYear => {
            desk.view.show(Screen::Year);
            select_standing(desk.session, desk.view);
        }
        Command::ShowBook => desk.view.show(Screen::Book),
        Command::ShowFindings => desk.view.show(Screen::Findings),
        Command::Back => go_back(desk.view),
        Command::WeekBack => step_week(desk.view, -1),
        Command::WeekOn => step_week(desk.view, 1),
        Command::FourWeeksBack => step_week(desk.view, -4),
        Command::FourWeeksOn => step_week(desk.view, 4),
        Command::Today => desk.view.week = Week::of(desk.session.today),
        Command::NextPlanting => step_planting(desk, true),
        Command::PreviousPlanting => step_planting(desk, false),
        Command::Place => open(desk, Layer::Picker(crop_picker(desk.session, desk.view, Purpose::Place))),
        Command::Interplant => {
            if let Some(id) = desk.view.planting {
                open(desk, Layer::Picker(crop_picker(desk.session, desk.view, Purpose::Interplant(id))));
            }
        }
        Command::WhatCouldFollow => open_what_could_follow(desk),
        Command::Change => {
            if let Some(form) = desk.view.planting.and_then(|id| PlantingForm::change(desk.session, id)) {
                open(desk, Layer::PlantingForm(Box::new(form)));
            }
        }
        Command::Move => {
            if let Some(adjust) = desk.view.planting.and_then(|id| Adjust::of(desk.session, id)) {
                desk.view.show(Screen::Bed);
                open(desk, Layer::Adjust(Box::new(adjust)));
            }
        }
        Command::Lengthen => stretch(desk, STRIP_STEP),
        Command::Shorten => stretch(desk, -STRIP_STEP),
        Command::Duplicate => duplicate(desk),
        Command::Remove => remove(desk),
        Command::NextLayer => {
            desk.view.shown = if desk.view.shown == Shown::All { Shown::Selected } else { Shown::All };
            desk.view.say(match desk.view.shown {
                Shown::All => "all plantings are shown",
                Shown::Selected => "only the selected planting is shown",
            });
        }
        Command::NewBed => open(desk, Layer::BedForm(BedForm::new_bed(desk.session, desk.view))),
        Command::EditBed => {
            if let Some(form) = BedForm::edit(desk.session, desk.view.bed_idx) {
                open(desk, Layer::BedForm(form));
            }
        }
        Command::RemoveBed => {
            if let Some(bed) = bed_looked_at(desk) {
                apply(desk, Edit::RemoveBed(bed.id));
            }
        }
        Command::AddPast => {
            if let Some(form) = PastForm::of(desk.session, desk.view.bed_idx) {
                open(desk, Layer::PastForm(form));
            }
        }
        Command::EditSite => open(desk, Layer::SiteForm(Box::new(SiteForm::of(desk.session)))),
        Command::AddHazard => open(desk, Layer::Picker(hazard_picker(desk.session))),
        Command::ReturnYears => open(desk, Layer::Picker(family_picker(desk.session))),
        Command::Undo => match desk.session.undo() {
            Some(title) => desk.view.say(format!("undone: {title}")),
            None => {
                let why = desk.session.nothing_to_undo().to_owned();
                desk.view.complain(why);
            }
        },
        Command::Redo => match desk.session.redo() {
            Some(title) => desk.view.say(format!("done again: {title}")),
            None => desk.view.complain("nothing to redo"),
        },
        Command::Why => {
            let finding = match desk.view.planting {
                Some(id) if desk.view.screen != Screen::Ground => desk
                    .session
                    .plan()
                    .beds()
                    .get(desk.view.bed_idx)
                    .and_then(|bed| bed.findings.iter().find(|finding| finding.planting == Some(id))),
                _ => None,
            };
            let finding = finding
                .or_else(|| desk.session.plan().beds().get(desk.view.bed_idx).and_then(|bed| bed.findings.first()));
            match finding {
                Some(finding) => {
                    let why = Why::of(desk.session, finding);
                    open(desk, Layer::Why(why));
                }
                None => desk.view.say("no finding in this bed"),
            }
        }
        Command::GoToBed => open(desk, Layer::Prompt(Prompt::new(Question::GoToBed, "Go to bed", ""))),
        Command::Search => open(desk, Layer::Prompt(Prompt::new(Question::Search, "Search", ""))),
        Command::Save => desk.effects.push(Effect::Save),
        Command::SaveAs => {
            let start = desk.session.path.as_ref().map(|path| path.display().to_string()).unwrap_or_default();
            open(desk, Layer::Prompt(Prompt::new(Question::SaveAs, "Save as", &start)));
        }
        Command::Versions => desk.effects.push(Effect::ShowVersions),
        Command::TakeOver => desk.effects.push(Effect::TakeOver),
        Command::WriteList => {
            let start = desk
                .session
                .path
                .as_ref()
                .map_or_else(|| "planting-list.txt".into(), |path| path.with_file_name("planting-list.txt"));
            let start = start.display().to_string();
            open(desk, Layer::Prompt(Prompt::new(Question::WriteList, "Write the planting list to", &start)));
        }
        Command::Help => open(desk, Layer::Help(Help::default())),
        Command::Finder => open(desk, Layer::Finder(Finder::default())),
        Command::Mouse => {
            desk.view.options.has_mouse = !desk.view.options.has_mouse;
            desk.effects.push(Effect::Mouse(desk.view.options.has_mouse));
            desk.view.say(if desk.view.options.has_mouse { "mouse on" } else { "mouse off: text can be selected" });
        }
        Command::Suspend => desk.effects.push(Effect::Suspend),
        Command::Quit => desk.effects.push(Effect::Quit),
        Command::Accept
        | Command::Open
        | Command::MoveUp
        | Command::MoveDown
        | Command::MoveLeft
        | Command::MoveRight
        | Command::First
        | Command::Last => {}
    }
}

/// Opens a layer in front.
pub(in crate::tui) fn open(desk: &mut Desk<'_>, layer: Layer) {
    desk.view.layers.push(layer);
}

/// Makes an edit and says so, or says why not; whether it was made.
pub(in crate::tui) fn apply(desk: &mut Desk<'_>, edit: Edit) -> bool {
    match desk.session.apply(edit) {
        Ok(title) => {
            desk.view.say(format!("{title} (u undoes)"));
            true
        }
        Err(error) => {
            desk.view.complain(error.to_string());
            false
        }
    }
}

fn go_back(view: &mut View) {
    if let Some(screen) = view.came_from.pop() {
        view.screen = screen;
    } else if view.screen != Screen::Ground {
        view.screen = Screen::Ground;
    }
}

/// Steps the week looked at, within a span in which dates can be written.
pub(in crate::tui) fn step_week(view: &mut View, n: i64) {
    let next = view.week.plus(n);
    if (1900..=2200).contains(&next.iso_year()) {
        view.week = next;
    }
}

fn bed_looked_at(desk: &Desk<'_>) -> Option<Bed> {
    desk.session.plan().garden().beds.get(desk.view.bed_idx).cloned()
}

/// Selects a planting that stands in the week looked at, if none of this bed is selected.
pub(in crate::tui) fn select_standing(session: &Session, view: &mut View) {
    let Some(bed) = session.plan().beds().get(view.bed_idx) else { return };
    if view.planting.is_some_and(|id| bed.standing.iter().any(|standing| standing.id == id)) {
        return;
    }
    let (monday, sunday) = (view.week.monday(), view.week.sunday());
    view.planting = bed
        .standing
        .iter()
        .find(|standing| standing.stages.enters <= sunday && standing.stages.clear > monday)
        .or_else(|| bed.standing.iter().find(|standing| standing.stages.enters > sunday))
        .or_else(|| bed.standing.last())
        .map(|standing| standing.id);
}

fn step_planting(desk: &mut Desk<'_>, forward: bool) {
    let Some(bed) = desk.session.plan().beds().get(desk.view.bed_idx) else { return };
    let n = bed.standing.len();
    if n == 0 {
        desk.view.say("nothing is planted in this bed");
        return;
    }
    let at = desk.view.planting.and_then(|id| bed.standing.iter().position(|standing| standing.id == id));
    let next = match (at, forward) {
        (None, true) => 0,
        (None, false) => n - 1,
        (Some(at), true) => (at + 1) % n,
        (Some(at), false) => (at + n - 1) % n,
    };
    desk.view.planting = bed.standing.get(next).map(|standing| standing.id);
}

fn stretch(desk: &mut Desk<'_>, by: Mm) {
    let Some(planting) = desk.view.planting.and_then(|id| desk.session.plan().garden().planting(id)) else { return };
    let mut longer = planting.clone();
    let Some(bed) = desk.session.plan().garden().bed(&planting.bed) else { return };
    // At the end of the bed the strip grows at its other end.
    if by > Mm::ZERO && longer.to_mm + by > bed.length_mm {
        if longer.to_mm < bed.length_mm {
            longer.to_mm = bed.length_mm;
        } else {
            longer.from_mm = Mm((longer.from_mm - by).0.max(0));
        }
    } else {
        longer.to_mm += by;
    }
    if longer == *planting {
        desk.view.complain("the strip already takes the whole bed");
        return;
    }
    apply(desk, Edit::ChangePlanting(Box::new(longer)));
}

fn duplicate(desk: &mut Desk<'_>) {
    let Some(planting) = desk.view.planting.and_then(|id| desk.session.plan().garden().planting(id)) else { return };
    match desk.session.plan().next_free_slot(planting) {
        Some(copy) => {
            let (id, bed_id) = (copy.id, copy.bed.clone());
            if apply(desk, Edit::AddPlanting(Box::new(copy))) {
                select(desk.session, desk.view, id, &bed_id);
            }
        }
        None => {
            let planting = planting.clone();
            offer_another_slot(&planting, desk);
        }
    }
}

/// Says what stands in the way of a repeat, and offers the nearest day on which some bed has room for it.
fn offer_another_slot(planting: &Planting, desk: &mut Desk<'_>) {
    let plan = desk.session.plan();
    if let Some(host) = planting.host() {
        desk.view.complain(format!("it stands between {}: i sets another crop there", crop_of(plan, host)));
        return;
    }
    let year = desk.view.week.iso_year();
    let until = |id: &PlantingId| {
        let clear = plan.standing(*id).map(|standing| date(standing.stages.clear, year))?;
        Some(format!("{} until {clear}", crop_of(plan, *id)))
    };
    let in_the_way = plan.in_the_way(planting);
    let mut named: Vec<String> = in_the_way.iter().take(N_NAMED).filter_map(until).collect();
    if in_the_way.len() > N_NAMED {
        named.push(format!("{} more", in_the_way.len() - N_NAMED));
    }
    let length = planting.to_mm - planting.from_mm;
    let why = format!("no bed like {} has {length} cm free for that time. In it: {}", planting.bed, named.join(", "));
    match plan.nearest_slot(planting, desk.session.today) {
        Some(copy) => {
            let day = copy.planned.plant.or(copy.planned.sow).map_or_else(String::new, |day| date(day, year));
            let (from, to) = (copy.from_mm, copy.to_mm);
            let question =
                format!("{why}. The nearest: {} from {from} to {to} cm, in {day}. P places it there.", copy.bed);
            open(desk, Layer::Confirm(Confirm { yes: Yes::Place(Box::new(copy)), question }));
        }
        None => desk.view.complain(format!("{why}; and none within a year in its season")),
    }
}

/// Selects a planting and its bed.
pub(in crate::tui) fn select(session: &Session, view: &mut View, id: PlantingId, bed_id: &str) {
    if let Some(idx) = session.plan().bed_idx(bed_id) {
        view.bed_idx = idx;
    }
    view.planting = Some(id);
}

fn remove(desk: &mut Desk<'_>) {
    let Some(id) = desk.view.planting else { return };
    if apply(desk, Edit::RemovePlanting(id)) {
        desk.view.planting = None;
        select_standing(desk.session, desk.view);
    }
}

fn crop_picker(session: &Session, view: &View, purpose: Purpose) -> Picker {
    let book = session.plan().book();
    let items = book
        .crops()
        .iter()
        .map(|crop| Item {
            id: crop.id.clone(),
            label: crop.name.clone(),
            also: format!("{} {} {}", crop.id, crop.other_names.join(" "), crop.latin),
            detail: book.family(&crop.family).map_or_else(String::new, |family| family.common.clone()),
        })
        .collect();
    let bed_id = session.plan().garden().beds.get(view.bed_idx).map_or("", |bed| bed.id.as_str());
    let title = match &purpose {
        Purpose::Interplant(id) => {
            let host = session.plan().garden().planting(*id).and_then(|planting| book.crop(&planting.crop));
            format!("Interplant with {}", host.map_or("the selected planting", |crop| crop.name.as_str()))
        }
        _ => format!("Place a crop in {bed_id}, week {}", view.week),
    };
    Picker::new(purpose, title, items)
}

fn hazard_picker(session: &Session) -> Picker {
    let items = session
        .plan()
        .book()
        .hazards()
        .iter()
        .map(|hazard| Item {
            id: hazard.id.clone(),
            label: hazard.name.clone(),
            also: format!("{} {}", hazard.id, hazard.cause),
            detail: hazard.host_families.join(", "),
        })
        .collect();
    Picker::new(Purpose::Hazard, "Hazard seen in this bed, this week", items)
}

fn family_picker(session: &Session) -> Picker {
    let garden = session.plan().garden();
    let items = session
        .plan()
        .book()
        .families()
        .iter()
        .map(|family| {
            let years = garden.return_years_of(&family.id).unwrap_or(family.return_usual_years);
            let own = if garden.return_years_of(&family.id).is_some() { ", set by this garden" } else { "" };
            let asked = if years == 0 {
                "left out of rotation".to_owned()
            } else {
                format!("back after {}", count(u64::from(years), "year", "years"))
            };
            Item {
                id: family.id.clone(),
                label: family.common.clone(),
                also: format!("{} {}", family.id, family.botanical),
                detail: format!("{asked}{own}"),
            }
        })
        .collect();
    Picker::new(Purpose::Family, "Return interval of a family", items)
}

fn open_what_could_follow(desk: &mut Desk<'_>) {
    let (session, view) = (&*desk.session, &*desk.view);
    let day = view.week.monday().max(session.today);
    let free = session.plan().free_up(view.bed_idx, day);
    let candidates = session.plan().candidates_seen_from(view.bed_idx, free.free_from, session.today);
    let year = view.week.iso_year();
    let items = following::items(session.plan(), &candidates, year, Signs::of(view.options.is_ascii));
    let bed_id = session.plan().garden().beds.get(view.bed_idx).map_or("", |bed| bed.id.as_str());
    if items.is_empty() {
        desk.view.say(format!("nothing in the book goes into {bed_id} about {}", date(free.free_from, year)));
        return;
    }
    let title = format!("What could follow in {bed_id}, free from {}", date(free.free_from, year));
    open(desk, Layer::Picker(Picker::new(Purpose::Follow, title, items)));
}

/// A click on the screen's own body.
pub(super) fn click(at: (u16, u16), desk: &mut Desk<'_>) {
    let area = ratatui::layout::Rect { x: 0, y: 0, width: desk.view.size.0, height: desk.view.size.1 };
    let (_, body, _) = crate::tui::scene::regions(area);
    match desk.view.screen {
        Screen::Ground => {
            if let Some(idx) = ground::bed_at(body, desk.session, desk.view, at) {
                desk.view.bed_idx = idx;
            }
        }
        Screen::Year => {
            if let Some((idx, week)) = year::bed_and_week_at(body, desk.session, desk.view, at) {
                desk.view.bed_idx = idx;
                desk.view.week = week;
            }
        }
        Screen::Bed | Screen::Book | Screen::Findings => {}
    }
}
