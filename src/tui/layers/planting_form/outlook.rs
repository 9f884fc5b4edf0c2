//! What a planting would come to: worked out after each change, shown by the form and while moving.

use ratatui::style::Style;

use crate::climate::soil_water;
use crate::crops::Raised;
use crate::fit::{FitReport, Verdict};
use crate::garden::{Layout, Planting, Severity};
use crate::layout::{Counted, SowingNeed, count, sowing_need};
use crate::season::{Plan, Preview, Standing};
use crate::tui::session::Session;
use crate::tui::signs::Signs;
use crate::tui::theme::Theme;
use crate::tui::widgets::text;
use crate::tui::wording;
use crate::words::{cans_words, headline_preview};
use crate::words::{crop_name, crop_of, need_words, severity_word};

/// How it shares ground with one other planting.
#[derive(Debug, Clone)]
struct Sharing {
    report: FitReport,
    other: String,
    stands: String,
    joins: String,
}

/// One finding it would raise.
#[derive(Debug, Clone)]
struct Said {
    severity: Severity,
    is_accepted: bool,
    headline: String,
}

/// What a planting would come to.
#[derive(Debug, Clone)]
pub struct Outlook {
    /// What the plan says.
    pub preview: Preview,
    clump: u32,
    per_m2: Option<f64>,
    need: Option<(SowingNeed, Raised)>,
    fits: Vec<Sharing>,
    said: Vec<Said>,
    /// Its sowing day is past but its planting day is not: plants would have to be bought.
    is_sown_too_late: bool,
    /// The soak before it goes in: cans per square metre, and litres for its strip. `None` once it is in.
    soak: Option<(f64, f64)>,
}

impl Outlook {
    /// Works it out.
    pub fn of(session: &Session, planting: &Planting) -> Self {
        let plan = session.plan();
        let preview = plan.preview(planting);
        let crop = plan.book().crop(&planting.crop);
        let need = crop.zip(preview.standing.as_ref()).map(|(crop, standing)| {
            (sowing_need(standing.n_stations, planting.clump, &crop.seed, planting.raised), planting.raised)
        });
        let fits = preview.standing.as_ref().map_or_else(Vec::new, |own| {
            let sharing = |(id, report): &(_, FitReport)| {
                let other = crop_of(plan, *id);
                let own_name = crop_name(plan, planting);
                // The one that enters first has the ground, as in the plan.
                let is_first = plan
                    .standing(*id)
                    .is_some_and(|there| (own.stages.enters, own.id) < (there.stages.enters, there.id));
                let (stands, joins) = if is_first { (own_name, other.clone()) } else { (other.clone(), own_name) };
                Sharing { report: report.clone(), other, stands, joins }
            };
            preview.fits.iter().map(sharing).collect()
        });
        let said = preview
            .findings
            .iter()
            .map(|finding| Said {
                severity: finding.severity,
                is_accepted: finding.accepted.is_some(),
                headline: headline_preview(plan, finding, planting),
            })
            .collect();
        let is_sown_too_late = plan.real(planting.id).sow.is_none()
            && preview.standing.as_ref().is_some_and(|standing| {
                let (sow, enters) = (standing.stages.sow, standing.stages.enters);
                enters > session.today && sow.is_some_and(|sow| sow < session.today && sow < enters)
            });
        let soak = preview.standing.as_ref().filter(|own| own.stages.enters >= session.today);
        let soak = soak.and_then(|_| soak_of(plan, planting));
        Self {
            is_sown_too_late,
            soak,
            clump: planting.clump,
            per_m2: per_m2(plan, planting),
            need,
            fits,
            said,
            preview,
        }
    }

    /// The headline of the gravest breach that is not accepted, if there is one.
    pub fn breach(&self) -> Option<&str> {
        self.said
            .iter()
            .find(|said| said.severity == Severity::Breach && !said.is_accepted)
            .map(|said| said.headline.as_str())
    }

    /// Its dates and counts, if they can be worked out.
    pub fn standing(&self) -> Option<&Standing> {
        self.preview.standing.as_ref()
    }

    /// Everything in lines of at most `width` cells, and the lines at which the findings begin.
    pub fn lines(&self, year: i32, width: usize, theme: Theme, signs: &Signs) -> (Vec<(String, Style)>, Vec<usize>) {
        let mut lines: Vec<(String, Style)> = Vec::new();
        let mut add = |(words, style): (String, Style)| {
            let first = lines.len();
            lines.extend(text::wrap(&words, width).into_iter().map(|line| (line, style)));
            first
        };
        add(self.counts(theme, signs));
        if let Some((need, raised)) = &self.need {
            add((need_words(need, *raised), theme.plain()));
        }
        for line in self.dates(year, width, signs) {
            add((line, theme.plain()));
        }
        if self.is_sown_too_late {
            let words = format!("{} note: the day to sow is past; plants would have to be bought", signs.note);
            add((words, theme.severity(Severity::Note)));
        }
        for sharing in &self.fits {
            add(sharing.words(theme));
        }
        let begins = self.said.iter().map(|said| add(said.words(theme, signs))).collect();
        if self.said.is_empty() && self.standing().is_some() {
            add(("no finding".to_owned(), theme.done()));
        }
        // Last, so that it hides no finding.
        if let Some((cans_m2, litres)) = self.soak {
            let (cans, m2) = (cans_words(cans_m2, signs.is_ascii), wording::square_m(signs));
            let words = format!(
                "if dry (never when wet or frozen), first soak with {cans} per {m2} ({litres:.0} l in this strip)"
            );
            add((words, theme.plain()));
        }
        (lines, begins)
    }

    /// The same in few lines, each cut to the width: counts, days, the gravest finding, how it fits.
    pub fn brief(&self, year: i32, width: usize, theme: Theme, signs: &Signs) -> Vec<(String, Style)> {
        let mut lines = vec![self.counts(theme, signs)];
        lines.extend(self.dates(year, width, signs).into_iter().map(|line| (line, theme.plain())));
        match self.said.first() {
            Some(said) => lines.push(said.words(theme, signs)),
            None => lines.push(("no finding".to_owned(), theme.done())),
        }
        lines.extend(self.fits.iter().map(|sharing| sharing.words(theme)));
        lines.extend(self.said.iter().skip(1).map(|said| said.words(theme, signs)));
        for line in &mut lines {
            line.0 = text::cut(&line.0, width, signs.ellipsis);
        }
        lines
    }

    fn counts(&self, theme: Theme, signs: &Signs) -> (String, Style) {
        let Some(standing) = self.standing() else {
            return ("cannot be set out yet".to_owned(), theme.trouble());
        };
        let mut counts = wording::counts(standing, self.clump, signs);
        if let Some(density) = self.per_m2 {
            counts.push_str(&format!(", {density:.1}/{}", wording::square_m(signs)));
        }
        (counts, theme.heading())
    }

    fn dates(&self, year: i32, width: usize, signs: &Signs) -> Vec<String> {
        let dates = self.standing().map(|standing| wording::dates(&standing.stages, year, signs)).unwrap_or_default();
        wording::flow(&dates, width, signs)
    }
}

impl Sharing {
    fn words(&self, theme: Theme) -> (String, Style) {
        let style = match self.report.verdict {
            Verdict::Fits => theme.done(),
            Verdict::Tight => theme.severity(Severity::Caution),
            Verdict::Crowds => theme.severity(Severity::Breach),
        };
        (wording::fit(&self.report, &self.other, &self.stands, &self.joins), style)
    }
}

impl Said {
    fn words(&self, theme: Theme, signs: &Signs) -> (String, Style) {
        let (sign, word, style) = if self.is_accepted {
            (signs.accepted, "accepted", theme.faint())
        } else {
            (signs.severity(self.severity), severity_word(self.severity), theme.severity(self.severity))
        };
        (format!("{sign} {word}: {}", self.headline), style)
    }
}

/// The soak of its strip: cans per square metre, litres in all.
fn soak_of(plan: &Plan, planting: &Planting) -> Option<(f64, f64)> {
    let bed = plan.garden().bed(&planting.bed)?;
    let soak = soil_water::soil_of(bed.soil)?.soak_before_planting();
    Some((soak.cans_m2(), soak.litres_on_mm2(planting.strip(bed.width_mm).area_mm2())))
}

/// Plants per m² of its strip.
fn per_m2(plan: &Plan, planting: &Planting) -> Option<f64> {
    let bed = plan.garden().bed(&planting.bed)?;
    let counted = |planting: &Planting, host: Option<&Counted>| {
        count(&planting.layout, planting.strip(bed.width_mm), planting.setback_mm, planting.clump, host).ok()
    };
    let host = match &planting.layout {
        Layout::Between { host } => plan.garden().planting(*host).and_then(|host| counted(host, None)),
        _ => None,
    };
    counted(planting, host.as_ref()).map(|counted| counted.per_m2)
}
