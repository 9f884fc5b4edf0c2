//! What is wrong or worth knowing: every finding, gravest first. What is past or kept quiet is counted, and listed on request.
//!
//! ```text
//! +------------------------------------------------------------+
//! | ≡ breach   B2  cabbage: cabbage family is back after 2 …   |
//! | = caution  A4  leek: follows shallot in the same year      |
//! +------------------------------------------------------------+
//! | the selected finding in words (w: all of it)               |
//! +------------------------------------------------------------+
//! ```

use ratatui::Frame;
use ratatui::layout::Rect;

use crate::garden::{Edit, EntryId, Key, Quiet, Severity};
use crate::season::{Finding, FindingCounts, rule_name};
use crate::tui::context::Context;
use crate::tui::keys::Command;
use crate::tui::layers::Layer;
use crate::tui::layers::picker::{Item, Picker, Purpose};
use crate::tui::layers::prompt::{Prompt, Question};
use crate::tui::layers::why::Why;
use crate::tui::scene::Scene;
use crate::tui::screens::Ran;
use crate::tui::session::Session;
use crate::tui::view::{Screen, View};
use crate::tui::widgets::{paint, text};
use crate::units::Week;
use crate::units::text::shown;
use crate::words::{alike_words, counted, explain, headline, severity_word};

/// Lines in which the selected finding is said.
const DETAIL_LINES: u16 = 6;

/// The findings listed: all of the plan's, in its order, or those that match the letters.
enum Listed {
    All,
    Narrowed(Vec<usize>),
}

impl Listed {
    fn of(session: &Session, view: &View) -> Self {
        let letters = view.finding_letters.to_lowercase();
        if letters.is_empty() {
            return Self::All;
        }
        let holds = |finding: &Finding| {
            let words = format!(
                "{} {} {}",
                severity_word(finding.severity),
                bed_id(session, finding),
                headline(session.plan(), finding)
            );
            words.to_lowercase().contains(&letters)
        };
        let places = 0..session.plan().n_findings();
        Self::Narrowed(places.filter(|&place| session.plan().finding_at(place).is_some_and(holds)).collect())
    }

    fn len(&self, session: &Session) -> usize {
        match self {
            Self::All => session.plan().n_findings(),
            Self::Narrowed(places) => places.len(),
        }
    }

    /// The finding in a row, with its place in the plan's list.
    fn at<'a>(&self, session: &'a Session, row: usize) -> Option<(usize, &'a Finding)> {
        let place = match self {
            Self::All => row,
            Self::Narrowed(places) => *places.get(row)?,
        };
        session.plan().finding_at(place).map(|finding| (place, finding))
    }

    fn counts(&self, session: &Session) -> FindingCounts {
        let Self::Narrowed(places) = self else { return session.plan().finding_counts() };
        let mut counts = FindingCounts::default();
        let plan = session.plan();
        for &place in places {
            let Some(finding) = plan.finding_at(place) else { continue };
            if plan.shows_all() {
                let mut alike = plan.alike(place);
                alike.push(finding);
                if plan.quiet_by(finding).is_some() {
                    counts.n_quiet += alike.len();
                    continue;
                }
                let n_past = alike.iter().filter(|one| plan.is_past(one)).count();
                counts.n_past += n_past;
                if n_past == alike.len() {
                    continue;
                }
            }
            match finding.severity {
                _ if finding.accepted.is_some() => counts.n_accepted += 1,
                Severity::Breach => counts.n_breaches += 1,
                Severity::Caution => counts.n_cautions += 1,
                Severity::Note => counts.n_notes += 1,
            }
        }
        counts
    }
}

fn bed_id<'a>(session: &'a Session, finding: &Finding) -> &'a str {
    session.plan().garden().beds.get(finding.bed_idx).map_or("", |bed| bed.id.as_str())
}

fn regions(area: Rect) -> (Rect, Rect) {
    let detail = if area.height >= 12 { DETAIL_LINES } else { 0 };
    let list = Rect { height: area.height - detail, ..area };
    (list, Rect { y: list.bottom(), height: detail, ..area })
}

/// Draws the screen.
pub fn draw(frame: &mut Frame, area: Rect, scene: Scene<'_>) {
    let Scene { session, view, theme, signs, .. } = scene;
    let buf = frame.buffer_mut();
    let (list, detail) = regions(area);
    let findings = Listed::of(session, view);
    let n_listed = findings.len(session);
    if n_listed == 0 {
        let hidden = tally(findings.counts(session));
        let words = if !view.finding_letters.is_empty() {
            format!("No finding with `{}`; / and Enter shows all.", shown(&view.finding_letters))
        } else if hidden.is_empty() {
            "Nothing to say against this plan.".to_owned()
        } else {
            format!("Nothing to act on ({hidden}; H lists them).")
        };
        paint::put(buf, list, list.x + 2, list.y + 1, &words, theme.plain());
        return;
    }
    let selected = view.finding_row.min(n_listed - 1);
    let top = paint::scroll_top(selected, n_listed, usize::from(list.height));
    for (row, y) in (top..n_listed).zip(list.top()..list.bottom()) {
        let Some((place, finding)) = findings.at(session, row) else { continue };
        let n_alike = session.plan().alike(place).len();
        let mut more = if n_alike > 0 { format!(" (and {n_alike} more)") } else { String::new() };
        if session.plan().quiet_by(finding).is_some() {
            more.push_str(" (kept quiet)");
        } else if session.plan().is_past(finding) {
            more.push_str(" (past)");
        }
        let is_selected = row == selected;
        let is_accepted = finding.accepted.is_some();
        let (sign, word) = if is_accepted {
            (signs.accepted, "accepted")
        } else {
            (signs.severity(finding.severity), severity_word(finding.severity))
        };
        let words = format!(
            "{}{} {} {} {}{more}",
            if is_selected { signs.pointer } else { " " },
            text::fill(sign, 1, ""),
            text::fill(word, 8, ""),
            text::fill(&shown(bed_id(session, finding)), 6, signs.ellipsis),
            headline(session.plan(), finding)
        );
        let style = match (is_selected, is_accepted) {
            (true, _) => theme.selected(),
            (false, true) => theme.faint(),
            (false, false) => theme.severity(finding.severity),
        };
        paint::put_filled(buf, paint::line_of(list, y), &words, style, signs);
    }
    if detail.height < 2 {
        return;
    }
    let rule = signs.rule.repeat(usize::from(detail.width));
    paint::put(buf, detail, detail.x, detail.y, &rule, theme.faint());
    let counted = format!(" {} of {}: {} ", selected + 1, n_listed, tally(findings.counts(session)));
    let counted = text::cut(&counted, usize::from(detail.width.saturating_sub(4)), signs.ellipsis);
    paint::put(buf, detail, detail.x + 2, detail.y, &counted, theme.faint());
    let Some((place, finding)) = findings.at(session, selected) else { return };
    let mut words = headline(session.plan(), finding);
    if let Some(alike) = alike_words(session.plan(), &session.plan().alike(place)) {
        words.push_str(&format!(". {alike}"));
    }
    if let Some(quiet) = session.plan().quiet_by(finding) {
        words.push_str(&format!(". Kept quiet: {}", shown(&quiet.reason)));
    }
    if let Some(reason) = &finding.accepted {
        words.push_str(&format!(". Accepted: {}", shown(reason)));
    }
    let width = usize::from(detail.width.saturating_sub(4));
    let mut lines = text::wrap(&words, width);
    let sentences = explain(session.plan(), finding, &session.plan().explained_in_place(finding)).sentences.join(" ");
    lines.extend(text::wrap(&shown(&sentences), width));
    let room = usize::from(detail.height.saturating_sub(1));
    if lines.len() > room
        && let Some(last) = lines.get_mut(room.saturating_sub(1))
    {
        *last = format!("{} (w: all)", text::cut(last, width.saturating_sub(9), signs.ellipsis));
    }
    for (line, y) in lines.iter().zip(detail.y + 1..detail.bottom()) {
        paint::put(buf, detail, detail.x + 2, y, line, theme.plain());
    }
}

/// Selects the first listed finding of a bed; whether there is one.
pub fn go_to_bed(cx: &mut Context<'_>, bed_idx: usize) -> bool {
    let listed = Listed::of(cx.session, cx.view);
    let is_there = |row: &usize| listed.at(cx.session, *row).is_some_and(|(_, finding)| finding.bed_idx == bed_idx);
    let row = (0..listed.len(cx.session)).find(is_there);
    if let Some(row) = row {
        cx.view.finding_row = row;
    }
    row.is_some()
}

/// How many of each kind are listed, and how many are past or kept quiet.
fn tally(counts: FindingCounts) -> String {
    let kinds = [
        (counts.n_breaches as u64, "breach", "breaches"),
        (counts.n_cautions as u64, "caution", "cautions"),
        (counts.n_notes as u64, "note", "notes"),
        (counts.n_accepted as u64, "accepted", "accepted"),
        (counts.n_past as u64, "past", "past"),
        (counts.n_quiet as u64, "kept quiet", "kept quiet"),
    ];
    let counts = kinds.iter().filter(|(n, ..)| *n > 0).map(|(n, one, many)| counted(*n, one, many));
    counts.collect::<Vec<_>>().join(", ")
}

/// Runs a command that means something of its own here.
pub fn run(command: Command, cx: &mut Context<'_>) -> Ran {
    let findings = Listed::of(cx.session, cx.view);
    let last = findings.len(cx.session).saturating_sub(1);
    let row = cx.view.finding_row.min(last);
    match command {
        Command::MoveUp => cx.view.finding_row = row.saturating_sub(1),
        Command::MoveDown => cx.view.finding_row = (row + 1).min(last),
        Command::First => cx.view.finding_row = 0,
        Command::Last => cx.view.finding_row = last,
        Command::FourWeeksOn => cx.view.finding_row = (row + 10).min(last),
        Command::FourWeeksBack => cx.view.finding_row = row.saturating_sub(10),
        Command::Back if !cx.view.finding_letters.is_empty() => cx.view.finding_letters.clear(),
        Command::Open => {
            let Some((_, finding)) = findings.at(cx.session, row) else { return Ran::Here };
            let bed = bed_id(cx.session, finding).to_owned();
            cx.view.bed_idx = finding.bed_idx;
            match finding.planting {
                Some(id) => {
                    if let Some(standing) = cx.session.plan().standing(id) {
                        cx.view.week = Week::of(standing.stages.enters);
                    }
                    cx.view.select(cx.session, id, &bed);
                }
                None => cx.view.planting = None,
            }
            cx.view.show(Screen::Bed);
        }
        Command::Why => {
            if let Some((_, finding)) = findings.at(cx.session, row) {
                let why = Why::of(cx.session, finding);
                return Ran::opens(Layer::Why(why));
            }
        }
        Command::Accept => {
            let Some((place, finding)) = findings.at(cx.session, row) else { return Ran::Here };
            if finding.accepted.is_some() {
                if let Some(edit) = taking_back(cx.session, finding) {
                    cx.apply(edit);
                }
            } else {
                let title = format!("Accept \"{}\" because", session_headline(cx.session, finding));
                return Ran::opens(Layer::Prompt(Prompt::new(Question::AcceptReason(place), title, "")));
            }
        }
        Command::ShowAll => {
            let shows_all = !cx.session.plan().shows_all();
            cx.session.show_all(shows_all);
            cx.view.say(if shows_all {
                "what is past or kept quiet is listed too"
            } else {
                "what is past or kept quiet is hidden"
            });
        }
        Command::KeepQuiet => {
            let Some((_, finding)) = findings.at(cx.session, row) else { return Ran::Here };
            if let Some(quiet) = cx.session.plan().quiet_by(finding) {
                let edit = Edit::Take(Key::Quiet(quiet.id));
                cx.apply(edit);
            } else {
                return Ran::opens(Layer::Picker(of_what(cx.session, finding)));
            }
        }
        _ => return Ran::NotHere,
    }
    Ran::Here
}

/// Asks of what all findings of this kind are to be kept quiet.
fn of_what(session: &Session, finding: &Finding) -> Picker {
    let crop = finding.planting.and_then(|id| session.plan().garden().planting(id)).map(|planting| &planting.crop);
    let quiet = Quiet {
        id: EntryId::NONE,
        rule: rule_name(&finding.says).to_owned(),
        bed: Some(bed_id(session, finding).to_owned()),
        crop: crop.cloned(),
        reason: String::new(),
    };
    let title = format!("Keep every {} finding quiet", quiet.rule);
    let (bed, name) = (
        shown(bed_id(session, finding)),
        crop.map(|id| session.plan().book().crop(id).map_or_else(|| id.clone(), |crop| crop.name.clone())),
    );
    let item = |id: &str, label: String| Item { id: id.to_owned(), label, also: String::new(), detail: String::new() };
    let mut items = vec![item("bed", format!("in {bed}"))];
    if let Some(name) = name {
        items.push(item("bed and crop", format!("of {} in {bed}", shown(&name))));
        items.push(item("crop", format!("of {}", shown(&name))));
    }
    items.push(item("garden", "in the whole garden".to_owned()));
    Picker::new(Purpose::Quiet(quiet), title, items)
}

fn session_headline(session: &Session, finding: &Finding) -> String {
    text::cut(&headline(session.plan(), finding), 50, "...")
}

/// The edit that takes an acceptance back.
fn taking_back(session: &Session, finding: &Finding) -> Option<Edit> {
    let accepted = session.plan().acceptance(finding, "x")?;
    let known = session.plan().garden().accepted.iter().find(|known| {
        known.rule == accepted.rule && known.planting == accepted.planting && known.against == accepted.against
    })?;
    Some(Edit::Take(Key::Accepted(known.id)))
}
