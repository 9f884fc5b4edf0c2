//! What each command does.

use crate::garden::{Bed, Edit, Planting, PlantingId};
use crate::tui::context::Context;
use crate::tui::effect::Effect;
use crate::tui::keys::Command;
use crate::tui::layers::Layer;
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
use crate::tui::screens::{self, Ran, ground, year};
use crate::tui::signs::Signs;
use crate::tui::view::{Screen, Shown};
use crate::tui::wording::date;
use crate::tui::{session::Session, view::View};
use crate::units::{Mm, Week};
use crate::words::{counted, crop_of};

use super::following;

/// Most plantings named that prevent a repeat.
const N_NAMED: usize = 3;

/// Step of + and - on a strip.
const STRIP_STEP: Mm = Mm::from_cm(10);

/// Runs a command that can be done now; the layer that it opens, if it opens one.
pub fn run(command: Command, cx: &mut Context<'_>) -> Option<Layer> {
    let (_, run_there) = screens::face(cx.view.screen);
    match run_there(command, cx) {
        Ran::NotHere => run_anywhere(command, cx),
        Ran::Here => None,
        Ran::Opens(layer) => Some(*layer),
    }
}

fn run_anywhere(command: Command, cx: &mut Context<'_>) -> Option<Layer> {
    match command {
        Command::Show(screen) => {
            cx.view.show(screen);
            if matches!(screen, Screen::Bed | Screen::Year) {
                cx.view.select_standing(cx.session);
            }
        }
        Command::Back => go_back(cx.view),
        Command::WeekBack => cx.view.step_weeks(-1),
        Command::WeekOn => cx.view.step_weeks(1),
        Command::FourWeeksBack => cx.view.step_weeks(-4),
        Command::FourWeeksOn => cx.view.step_weeks(4),
        Command::Today => cx.view.week = Week::of(cx.session.today),
        Command::NextPlanting => step_planting(cx, true),
        Command::PreviousPlanting => step_planting(cx, false),
        Command::Place => return Some(Layer::Picker(crop_picker(cx.session, cx.view, Purpose::Place))),
        Command::Interplant => {
            if let Some(id) = cx.view.planting {
                return Some(Layer::Picker(crop_picker(cx.session, cx.view, Purpose::Interplant(id))));
            }
        }
        Command::WhatCouldFollow => return what_could_follow(cx),
        Command::Change => {
            if let Some(form) = cx.view.planting.and_then(|id| PlantingForm::change(cx.session, id)) {
                return Some(Layer::PlantingForm(Box::new(form)));
            }
        }
        Command::Move => {
            if let Some(adjust) = cx.view.planting.and_then(|id| Adjust::of(cx.session, id)) {
                cx.view.show(Screen::Bed);
                return Some(Layer::Adjust(Box::new(adjust)));
            }
        }
        Command::Lengthen => stretch(cx, STRIP_STEP),
        Command::Shorten => stretch(cx, -STRIP_STEP),
        Command::Duplicate => return duplicate(cx),
        Command::Remove => remove(cx),
        Command::NextLayer => {
            cx.view.shown = if cx.view.shown == Shown::All { Shown::Selected } else { Shown::All };
            cx.view.say(match cx.view.shown {
                Shown::All => "all plantings are shown",
                Shown::Selected => "only the selected planting is shown",
            });
        }
        Command::NewBed => return Some(Layer::BedForm(BedForm::new_bed(cx.session, cx.view))),
        Command::EditBed => {
            if let Some(form) = BedForm::edit(cx.session, cx.view.bed_idx) {
                return Some(Layer::BedForm(form));
            }
        }
        Command::RemoveBed => {
            if let Some(bed) = bed_looked_at(cx) {
                cx.apply(Edit::RemoveBed(bed.id));
            }
        }
        Command::AddPast => {
            if let Some(form) = PastForm::of(cx.session, cx.view.bed_idx) {
                return Some(Layer::PastForm(form));
            }
        }
        Command::EditSite => return Some(Layer::SiteForm(Box::new(SiteForm::of(cx.session)))),
        Command::AddHazard => return Some(Layer::Picker(hazard_picker(cx.session))),
        Command::ReturnYears => return Some(Layer::Picker(family_picker(cx.session))),
        Command::Undo => match cx.session.undo() {
            Some(title) => cx.view.say(format!("undone: {title}")),
            None => {
                let why = cx.session.nothing_to_undo().to_owned();
                cx.view.complain(why);
            }
        },
        Command::Redo => match cx.session.redo() {
            Some(title) => cx.view.say(format!("done again: {title}")),
            None => cx.view.complain("nothing to redo"),
        },
        Command::Why => {
            let finding = match cx.view.planting {
                Some(id) if cx.view.screen != Screen::Ground => cx
                    .session
                    .plan()
                    .beds()
                    .get(cx.view.bed_idx)
                    .and_then(|bed| bed.findings.iter().find(|finding| finding.planting == Some(id))),
                _ => None,
            };
            let finding =
                finding.or_else(|| cx.session.plan().beds().get(cx.view.bed_idx).and_then(|bed| bed.findings.first()));
            match finding {
                Some(finding) => {
                    let why = Why::of(cx.session, finding);
                    return Some(Layer::Why(why));
                }
                None => cx.view.say("no finding in this bed"),
            }
        }
        Command::GoToBed => return Some(Layer::Prompt(Prompt::new(Question::GoToBed, "Go to bed", ""))),
        Command::Search => return Some(Layer::Prompt(Prompt::new(Question::Search, "Search", ""))),
        Command::Save => cx.effects.push(Effect::Save),
        Command::SaveAs => {
            let start = cx.session.path.as_ref().map(|path| path.display().to_string()).unwrap_or_default();
            return Some(Layer::Prompt(Prompt::new(Question::SaveAs, "Save as", &start)));
        }
        Command::Versions => cx.effects.push(Effect::ShowVersions),
        Command::TakeOver => cx.effects.push(Effect::TakeOver),
        Command::WriteList => {
            let start = cx
                .session
                .path
                .as_ref()
                .map_or_else(|| "planting-list.txt".into(), |path| path.with_file_name("planting-list.txt"));
            let start = start.display().to_string();
            return Some(Layer::Prompt(Prompt::new(Question::WriteList, "Write the planting list to", &start)));
        }
        Command::Help => return Some(Layer::Help(Help::default())),
        Command::Finder => return Some(Layer::Finder(Finder::default())),
        Command::Mouse => {
            cx.view.options.has_mouse = !cx.view.options.has_mouse;
            cx.effects.push(Effect::Mouse(cx.view.options.has_mouse));
            cx.view.say(if cx.view.options.has_mouse { "mouse on" } else { "mouse off: text can be selected" });
        }
        Command::Suspend => cx.effects.push(Effect::Suspend),
        Command::Quit => cx.effects.push(Effect::Quit),
        Command::Accept
        | Command::KeepQuiet
        | Command::ShowAll
        | Command::Open
        | Command::MoveUp
        | Command::MoveDown
        | Command::MoveLeft
        | Command::MoveRight
        | Command::First
        | Command::Last => {}
    }
    None
}

fn go_back(view: &mut View) {
    if let Some(screen) = view.came_from.pop() {
        view.screen = screen;
    } else if view.screen != Screen::Ground {
        view.screen = Screen::Ground;
    }
}

fn bed_looked_at(cx: &Context<'_>) -> Option<Bed> {
    cx.session.plan().garden().beds.get(cx.view.bed_idx).cloned()
}

fn step_planting(cx: &mut Context<'_>, forward: bool) {
    let Some(bed) = cx.session.plan().beds().get(cx.view.bed_idx) else { return };
    let n = bed.standing.len();
    if n == 0 {
        cx.view.say("nothing is planted in this bed");
        return;
    }
    let at = cx.view.planting.and_then(|id| bed.standing.iter().position(|standing| standing.id == id));
    let next = match (at, forward) {
        (None, true) => 0,
        (None, false) => n - 1,
        (Some(at), true) => (at + 1) % n,
        (Some(at), false) => (at + n - 1) % n,
    };
    cx.view.planting = bed.standing.get(next).map(|standing| standing.id);
}

fn stretch(cx: &mut Context<'_>, by: Mm) {
    let Some(planting) = cx.view.planting.and_then(|id| cx.session.plan().garden().planting(id)) else { return };
    let mut longer = planting.clone();
    let Some(bed) = cx.session.plan().garden().bed(&planting.bed) else { return };
    // At the end of the bed, the strip grows at its other end.
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
        cx.view.complain("the strip already takes the whole bed");
        return;
    }
    cx.apply(Edit::ChangePlanting(Box::new(longer)));
}

/// Repeats the selected planting in the next free slot, or offers another.
fn duplicate(cx: &mut Context<'_>) -> Option<Layer> {
    let planting = cx.view.planting.and_then(|id| cx.session.plan().garden().planting(id))?;
    let Some(copy) = cx.session.plan().next_free_slot(planting) else {
        let planting = planting.clone();
        return another_slot(&planting, cx);
    };
    let (id, bed_id) = (copy.id, copy.bed.clone());
    if cx.apply(Edit::AddPlanting(Box::new(copy))) {
        cx.view.select(cx.session, id, &bed_id);
    }
    None
}

/// Says what prevents a repeat, and offers the nearest day on which some bed has room for it.
fn another_slot(planting: &Planting, cx: &mut Context<'_>) -> Option<Layer> {
    let plan = cx.session.plan();
    if let Some(host) = planting.host() {
        cx.view.complain(format!("it stands between {}: i sets another crop there", crop_of(plan, host)));
        return None;
    }
    let year = cx.view.week.iso_year();
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
    let Some(copy) = plan.nearest_slot(planting, cx.session.today) else {
        cx.view.complain(format!("{why}; and none within a year in its season"));
        return None;
    };
    let day = copy.planned.plant.or(copy.planned.sow).map_or_else(String::new, |day| date(day, year));
    let (from, to) = (copy.from_mm, copy.to_mm);
    let question = format!("{why}. The nearest: {} from {from} to {to} cm, in {day}. P places it there.", copy.bed);
    Some(Layer::Confirm(Confirm { yes: Yes::Place(Box::new(copy)), question }))
}

fn remove(cx: &mut Context<'_>) {
    let Some(id) = cx.view.planting else { return };
    if cx.apply(Edit::RemovePlanting(id)) {
        cx.view.planting = None;
        cx.view.select_standing(cx.session);
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
                format!("back after {}", counted(u64::from(years), "year", "years"))
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

/// The list of what could follow; if it is empty that is said instead.
fn what_could_follow(cx: &mut Context<'_>) -> Option<Layer> {
    let (session, view) = (&*cx.session, &*cx.view);
    let day = view.week.monday().max(session.today);
    let free = session.plan().free_up(view.bed_idx, day);
    let candidates = session.plan().candidates_seen_from(view.bed_idx, free.free_from, session.today);
    let year = view.week.iso_year();
    let items = following::items(session.plan(), &candidates, year, Signs::of(view.options.is_ascii));
    let bed_id = session.plan().garden().beds.get(view.bed_idx).map_or("", |bed| bed.id.as_str());
    if items.is_empty() {
        cx.view.say(format!("nothing in the book goes into {bed_id} about {}", date(free.free_from, year)));
        return None;
    }
    let mut comes_next = free.next.iter().filter_map(|next| session.plan().standing(*next));
    let next = comes_next.find(|next| next.stages.enters >= free.free_from);
    let until = next.map_or_else(String::new, |next| format!(" to {}", date(next.stages.enters, year)));
    let title = format!("What could follow in {bed_id}, free from {}{until}", date(free.free_from, year));
    Some(Layer::Picker(Picker::new(Purpose::Follow, title, items)))
}

/// A click on the screen's own body.
pub(super) fn click(at: (u16, u16), cx: &mut Context<'_>) {
    let area = ratatui::layout::Rect { x: 0, y: 0, width: cx.view.size.0, height: cx.view.size.1 };
    let (_, body, _) = crate::tui::scene::regions(area);
    match cx.view.screen {
        Screen::Ground => {
            if let Some(idx) = ground::bed_at(body, cx.session, cx.view, at) {
                cx.view.bed_idx = idx;
            }
        }
        Screen::Year => {
            if let Some((idx, week)) = year::bed_and_week_at(body, cx.session, cx.view, at) {
                cx.view.bed_idx = idx;
                cx.view.week = week;
            }
        }
        _ => {}
    }
}
