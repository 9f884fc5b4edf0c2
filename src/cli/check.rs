//! `check`: every finding of a plan.

use std::io;
use std::panic::resume_unwind;
use std::thread;

use anyhow::Result;
use serde::Serialize;

use super::Common;
use super::answer::{ANSWER_WIDTH, Answer, Say};
use super::args::CheckArgs;
use super::files::{bed_idx_of, plan_of};
use crate::export::Page;
use crate::garden::{PastCrop, PlantingId, Severity};
use crate::rotation::{StandKey, rotation_years};
use crate::season::{Finding, FindingCounts, Help, Plan, Says};
use crate::units::text::{json_escaped, shown};
use crate::words::{Explanation, alike_words, counted, explain, headline, rotation, severity_word, verdict_word};

/// One finding as scripts read it.
#[derive(Serialize)]
struct Told {
    severity: &'static str,
    rule: String,
    year: Option<i32>,
    crop: Option<String>,
    earlier_crop: Option<String>,
    earlier_year: Option<i32>,
    why: String,
    source: String,
    bed: String,
    planting: Option<String>,
    other_planting: Option<String>,
    /// Other plantings of the bed of which the same is to be said.
    alike: Vec<String>,
    headline: String,
    sentences: Vec<String>,
    clear_year: Option<i32>,
    verdict: Option<&'static str>,
    first_bad_week: Option<String>,
    out_by_week: Option<String>,
    /// `null` where other beds were not looked for.
    clean_beds: Option<Vec<String>>,
    accepted: Option<String>,
    is_past: bool,
    kept_quiet: Option<String>,
}

/// Findings for which other beds are looked for, gravest first. Looking through a thousand beds takes half a
/// millisecond, and nobody moves more plantings than this at once.
const N_WITH_CLEAN_BEDS: usize = 500;

/// Threads the telling is shared out over at most (starting value).
const THREADS_MAX: usize = 4;

/// Findings that are told, the gravest first, and bytes after which no more are: others are only counted. It is a
/// hundred times what the demo has to say, and more than anybody reads.
const TOLD_MAX: usize = 50_000;
const TOLD_BYTES_MAX: usize = 4_500_000;

/// Findings told at once, and brought to the reader before the next are told.
const N_AT_ONCE: usize = 256;

/// Lists the findings, of all beds or of one; a breach that nobody has accepted sets the exit code.
///
/// A large plan has a hundred thousand of them: they are told as they are put into words, and no more than anybody could read.
pub fn run(common: &Common, args: &CheckArgs) -> Result<Answer> {
    let plan = plan_of(common, &args.file)?.seen_on(common.today()?).showing_all(args.all);
    let bed_idx = args.bed.as_deref().map(|id| bed_idx_of(&plan, id)).transpose()?;
    let counts = bed_idx.map_or_else(|| plan.finding_counts(), |bed_idx| plan.finding_counts_of_bed(bed_idx));
    let worst = worst(&counts);
    let (is_json, is_ascii, is_full) = (common.is_json, common.is_ascii, args.why);
    let answer = Answer::told(move |say| {
        let listed = plan.listed().into_iter().enumerate();
        let findings: Vec<Placed<'_>> =
            listed.filter(|(_, finding)| bed_idx.is_none_or(|bed_idx| finding.bed_idx == bed_idx)).collect();
        if is_json {
            tell_json(&plan, &findings, (worst, &counts), say)
        } else {
            tell_page(&plan, findings, &counts, is_ascii, is_full, say)
        }
    });
    Ok(answer.with_breach(worst == Some(Severity::Breach)))
}

/// The gravest of the findings that nobody has accepted.
fn worst(counts: &FindingCounts) -> Option<Severity> {
    let by_severity = [
        (counts.n_breaches, Severity::Breach),
        (counts.n_cautions, Severity::Caution),
        (counts.n_notes, Severity::Note),
    ];
    by_severity.into_iter().find(|(n, _)| *n > 0).map(|(_, severity)| severity)
}

/// A finding with its place among all that are listed, the gravest first.
type Placed<'a> = (usize, &'a Finding);

/// What may still be told.
struct Left {
    n: usize,
    n_bytes: usize,
}

impl Left {
    fn begin() -> Self {
        Self { n: TOLD_MAX, n_bytes: TOLD_BYTES_MAX }
    }

    /// Says a finding if there is room for it; whether there was.
    fn say(&mut self, text: &str, say: &mut Say<'_>) -> io::Result<bool> {
        if text.is_empty() {
            return Ok(true);
        }
        if self.n == 0 || self.n_bytes < text.len() {
            self.n = 0;
            return Ok(false);
        }
        say(text)?;
        self.n -= 1;
        self.n_bytes -= text.len();
        Ok(true)
    }
}

/// Tells findings in their order, shared out over threads; `tell` puts one of them into words. Gives how many are left out.
fn tell_in_order(
    findings: &[Placed<'_>],
    tell: impl Fn(Placed<'_>, &mut Help) -> io::Result<String> + Sync,
    left: &mut Left,
    say: &mut Say<'_>,
) -> io::Result<usize> {
    let n_threads = thread::available_parallelism().map_or(1, usize::from).min(THREADS_MAX);
    let alone: Vec<&Finding> = findings.iter().map(|(_, finding)| *finding).collect();
    let help = Help::shared_out(alone.chunks(N_AT_ONCE), N_WITH_CLEAN_BEDS.div_ceil(N_AT_ONCE));
    let shares: Vec<_> = findings.chunks(N_AT_ONCE).zip(help).collect();
    let tell_some = |(some, help): &(&[Placed<'_>], Help)| -> io::Result<Vec<String>> {
        let mut help = *help;
        some.iter().map(|placed| tell(*placed, &mut help)).collect()
    };
    let tell_some = &tell_some;
    let mut n_told = 0;
    for many in shares.chunks(n_threads) {
        let told: Vec<io::Result<Vec<String>>> = if shares.len() < 2 || n_threads < 2 {
            many.iter().map(tell_some).collect()
        } else {
            thread::scope(|scope| {
                let shares: Vec<_> = many.iter().map(|share| scope.spawn(move || tell_some(share))).collect();
                let told = shares.into_iter().map(|share| share.join().unwrap_or_else(|panic| resume_unwind(panic)));
                told.collect()
            })
        };
        for texts in told {
            for text in texts? {
                if !left.say(&text, say)? {
                    return Ok(findings.len() - n_told);
                }
                n_told += 1;
            }
        }
    }
    Ok(findings.len() - n_told)
}

fn explained(plan: &Plan, (place, finding): Placed<'_>, help: &mut Help) -> Explanation {
    if !looks_for_beds(place) {
        help.look_for_no_beds();
    }
    explain(plan, finding, &plan.explained_within(finding, help))
}

fn looks_for_beds(place: usize) -> bool {
    place < N_WITH_CLEAN_BEDS
}

fn bed_of<'a>(plan: &'a Plan, finding: &Finding) -> &'a str {
    plan.garden().beds.get(finding.bed_idx).map_or("", |bed| &bed.id)
}

/// One object: how grave it is, and the findings.
fn tell_json(
    plan: &Plan,
    findings: &[Placed<'_>],
    (worst, counts): (Option<Severity>, &FindingCounts),
    say: &mut Say<'_>,
) -> io::Result<()> {
    let worst = worst.map_or("none", severity_word);
    let (n_past, n_quiet) = (counts.n_past, counts.n_quiet);
    say(&format!(r#"{{"worst":"{worst}","n_past":{n_past},"n_kept_quiet":{n_quiet},"findings":["#))?;
    let tell = |placed: Placed<'_>, help: &mut Help| {
        let is_first = findings.first().is_some_and(|first| first.0 == placed.0);
        let comma = if is_first { "" } else { "," };
        let object = serde_json::to_string(&told(plan, placed, help))?;
        Ok(format!("{comma}{}", json_escaped(object)))
    };
    match tell_in_order(findings, tell, &mut Left::begin(), say)? {
        0 => say("]}\n"),
        n_not_told => say(&format!("],\"not_told\":{n_not_told}}}\n")),
    }
}

fn told(plan: &Plan, placed: Placed<'_>, help: &mut Help) -> Told {
    let (place, finding) = placed;
    let explanation = explained(plan, placed, help);
    let year = finding.planting.and_then(|id| plan.standing(id)).map(|standing| {
        let (first_year, _) = rotation_years(standing.stages.enters, standing.stages.clear);
        first_year
    });
    let mut told = Told {
        severity: severity_word(finding.severity),
        rule: explanation.rule,
        year,
        crop: finding.planting.and_then(|id| crop_name(plan, id)),
        earlier_crop: None,
        earlier_year: None,
        why: explanation.sentences.join(" "),
        source: explanation.source,
        bed: bed_of(plan, finding).to_owned(),
        planting: finding.planting.map(|id| id.to_string()),
        other_planting: None,
        alike: plan.alike(place).iter().filter_map(|alike| alike.planting).map(|id| id.to_string()).collect(),
        headline: explanation.headline,
        sentences: explanation.sentences,
        clear_year: None,
        verdict: None,
        first_bad_week: None,
        out_by_week: None,
        clean_beds: looks_for_beds(place).then_some(explanation.clean_beds),
        accepted: finding.accepted.clone(),
        is_past: plan.is_past(finding),
        kept_quiet: plan.quiet_by(finding).map(|quiet| quiet.reason.clone()),
    };
    match &finding.says {
        Says::Rotation(rotation) => {
            told.year = Some(rotation.year);
            told.earlier_crop = rotation.earlier.and_then(|earlier| stand_name(plan, earlier));
            told.earlier_year = rotation.earlier_year;
            told.why = rotation::why(plan.book(), rotation);
            told.clear_year = rotation.clear_year;
            if let Some(StandKey::Planting(id)) = rotation.earlier {
                told.other_planting = Some(id.to_string());
            }
        }
        Says::Overlap { other, from, .. } => {
            told.other_planting = Some(other.to_string());
            told.year = told.year.or_else(|| Some(rotation_years(*from, *from).0));
        }
        Says::Crowding { other, verdict, first_bad_week, out_by_week, .. } => {
            told.other_planting = Some(other.to_string());
            told.verdict = Some(verdict_word(*verdict));
            told.first_bad_week = first_bad_week.map(|week| week.to_string());
            told.out_by_week = out_by_week.map(|week| week.to_string());
        }
        Says::Gap { from, .. } => {
            told.year = Some(rotation_years(*from, *from).0);
        }
        _ => {}
    }
    told
}

/// The name of a planting's crop; its id if the book does not know it.
fn crop_name(plan: &Plan, id: PlantingId) -> Option<String> {
    let planting = plan.garden().planting(id)?;
    Some(plan.book().crop(&planting.crop).map_or_else(|| planting.crop.clone(), |crop| crop.name.clone()))
}

fn stand_name(plan: &Plan, key: StandKey) -> Option<String> {
    match key {
        StandKey::Planting(id) => crop_name(plan, id),
        StandKey::Past(id) => {
            let what = &plan.garden().row::<PastCrop>(&id)?.what;
            Some(match plan.book().find(what) {
                Some(plant) => plan.book().plant_names(plant).0.to_owned(),
                None => plan.book().family(what).map_or_else(|| what.clone(), |family| family.common.clone()),
            })
        }
        StandKey::Item(_) | StandKey::Proposed => None,
    }
}

/// Lines for a reader.
fn tell_page(
    plan: &Plan,
    findings: Vec<Placed<'_>>,
    counts: &FindingCounts,
    is_ascii: bool,
    is_full: bool,
    say: &mut Say<'_>,
) -> io::Result<()> {
    let page = || Page::new(ANSWER_WIDTH, is_ascii);
    let mut head = page();
    head.line(&format!("{}: {}", plan.garden().name, sums(counts)));
    say(&head.into_text())?;

    let is_short = |(_, finding): &Placed<'_>| finding.severity == Severity::Note && !is_full;
    let (notes, troubles): (Vec<Placed<'_>>, Vec<Placed<'_>>) = findings.into_iter().partition(is_short);
    let tell = |placed: Placed<'_>, help: &mut Help| {
        let mut page = page();
        page.blank();
        write_finding(&mut page, plan, placed, help);
        Ok(page.into_text())
    };
    let mut left = Left::begin();
    let n_not_told = tell_in_order(&troubles, tell, &mut left, say)?;
    if n_not_told > 0 {
        return say_more(page(), n_not_told + notes.len(), say);
    }
    if notes.is_empty() {
        return Ok(());
    }
    say("\n")?;
    let mut before = String::new();
    for (n_told, placed) in notes.iter().enumerate() {
        let mut note = page();
        before = write_note(&mut note, plan, *placed, &before);
        if !left.say(&note.into_text(), say)? {
            say_more(page(), notes.len() - n_told, say)?;
            break;
        }
    }
    let mut foot = page();
    foot.blank();
    foot.line("--why tells the reasons and sources of notes too");
    say(&foot.into_text())
}

/// Says how many findings are only counted.
fn say_more(mut page: Page, n: usize, say: &mut Say<'_>) -> io::Result<()> {
    page.blank();
    let more = counted(n as u64, "more finding", "more findings");
    page.line(&format!("and {more}, none of them graver; --bed tells those of one bed"));
    say(&page.into_text())
}

/// How many findings there are of each kind.
fn sums(counts: &FindingCounts) -> String {
    let mut sums = vec![
        counted(counts.n_breaches as u64, "breach", "breaches"),
        counted(counts.n_cautions as u64, "caution", "cautions"),
        counted(counts.n_notes as u64, "note", "notes"),
    ];
    if counts.n_accepted > 0 {
        sums.push(format!("{} accepted", counts.n_accepted));
    }
    if counts.n_past > 0 {
        sums.push(format!("{} past", counts.n_past));
    }
    if counts.n_quiet > 0 {
        sums.push(format!("{} kept quiet", counts.n_quiet));
    }
    sums.join(", ")
}

/// What stands before the second and later lines of a finding.
const UNDER: &str = "         ";

/// Whom a finding is about, and what it says in one line.
fn head(plan: &Plan, finding: &Finding, headline: &str) -> String {
    let accepted = match plan.quiet_by(finding) {
        _ if finding.accepted.is_some() => " (accepted)".to_owned(),
        Some(quiet) => format!(" (kept quiet: {})", shown(&quiet.reason)),
        None if plan.is_past(finding) => " (past)".to_owned(),
        None => String::new(),
    };
    match finding.planting {
        Some(id) => format!("bed {} {id}{accepted}: {headline}", bed_of(plan, finding)),
        // The headline begins with the bed.
        None => format!("bed {headline}{accepted}"),
    }
}

fn write_finding(page: &mut Page, plan: &Plan, placed: Placed<'_>, help: &mut Help) {
    let (place, finding) = placed;
    let explanation = explained(plan, placed, help);
    let severity = severity_word(finding.severity);
    page.paragraph(&format!("{severity:<8} "), UNDER, &head(plan, finding, &explanation.headline));
    if !explanation.sentences.is_empty() {
        page.paragraph(UNDER, UNDER, &explanation.sentences.join(" "));
    }
    if let Some(alike) = alike_words(plan, &plan.alike(place)) {
        page.paragraph(UNDER, UNDER, &alike);
    }
    if !explanation.clean_beds.is_empty() && finding.accepted.is_none() {
        page.paragraph(UNDER, UNDER, &format!("without a finding in: {}", explanation.clean_beds.join(", ")));
    }
    if !explanation.source.is_empty() {
        page.paragraph(UNDER, UNDER, &format!("source: {}", explanation.source));
    }
}

/// A note in a line, unless another rule said the same of its planting just before; returns what it says.
fn write_note(page: &mut Page, plan: &Plan, (place, finding): Placed<'_>, before: &str) -> String {
    let mut head = head(plan, finding, &headline(plan, finding));
    if let Some(alike) = alike_words(plan, &plan.alike(place)) {
        head.push_str(&format!(". {alike}"));
    }
    if head != before {
        page.paragraph("note     ", UNDER, &head);
    }
    head
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_has_no_room_is_not_told_and_nothing_after_it() {
        let mut said = String::new();
        let mut tell = |left: &mut Left, text: &str| {
            let mut say = |text: &str| {
                said.push_str(text);
                Ok(())
            };
            left.say(text, &mut say).unwrap()
        };
        let mut left = Left { n: 5, n_bytes: 10 };
        assert!(tell(&mut left, "four") && tell(&mut left, "") && tell(&mut left, "three"));
        assert!(!tell(&mut left, "three"), "two bytes are left");
        assert!(!tell(&mut left, "2"), "the order has no gap");
        let mut left = Left { n: 2, n_bytes: 10 };
        assert!(tell(&mut left, "a") && tell(&mut left, "b") && !tell(&mut left, "c"), "two findings");
        assert_eq!(said, "fourthreeab");
    }
}
