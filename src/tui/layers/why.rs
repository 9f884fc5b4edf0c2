//! Why there is a finding: the earlier planting, how long ago, the rule, the path, its source, what would help.

use ratatui::Frame;
use ratatui::layout::Rect;

use super::After;
use crate::garden::{PlantingId, Severity};
use crate::season::Finding;
use crate::tui::context::Context;
use crate::tui::keys::{Act, Front, Key, row_for};
use crate::tui::scene::Scene;
use crate::tui::session::Session;
use crate::tui::view::Screen;
use crate::tui::widgets::{paint, text};
use crate::units::text::shown;
use crate::words::severity_word;
use crate::words::{Explanation, explain};

/// The layer.
#[derive(Debug, Clone)]
pub struct Why {
    severity: Severity,
    accepted: Option<String>,
    bed_idx: usize,
    planting: Option<PlantingId>,
    explanation: Explanation,
    top: usize,
}

impl Why {
    /// Explains a finding.
    pub fn of(session: &Session, finding: &Finding) -> Self {
        Self {
            severity: finding.severity,
            accepted: finding.accepted.clone(),
            bed_idx: finding.bed_idx,
            planting: finding.planting,
            explanation: explain(session.plan(), finding, &session.plan().explained(finding)),
            top: 0,
        }
    }

    /// Scrolls, goes there, or closes.
    pub fn key(&mut self, act: Option<Act>, key: Key, cx: &mut Context<'_>) -> After {
        match act {
            Some(Act::Down) => self.top += 1,
            Some(Act::Up) => self.top = self.top.saturating_sub(1),
            Some(Act::Take) => {
                cx.view.bed_idx = self.bed_idx;
                cx.view.planting = self.planting;
                if let Some(id) = self.planting {
                    let bed = cx.session.plan().garden().planting(id).map(|planting| planting.bed.clone());
                    if let Some(bed) = bed {
                        cx.view.select(cx.session, id, &bed);
                    }
                }
                cx.view.show(Screen::Bed);
                return After::Close;
            }
            Some(Act::Screens) => {
                return row_for(key, cx.view.screen).map_or(After::Close, |row| After::Run(row.command));
            }
            _ => return After::Close,
        }
        self.top = self.top.min(60);
        After::Stay
    }

    /// Draws it.
    pub fn draw(&self, frame: &mut Frame, area: Rect, scene: Scene<'_>) {
        let Scene { theme, signs, .. } = scene;
        let cells = usize::from(area.width.min(90).saturating_sub(4)).max(10);
        let mut lines = Vec::new();
        let sign = signs.severity(self.severity);
        for line in text::wrap(&format!("{sign} {}", self.explanation.headline), cells) {
            lines.push((line, theme.severity(self.severity)));
        }
        lines.push((String::new(), theme.plain()));
        for sentence in &self.explanation.sentences {
            lines.extend(text::wrap(&shown(sentence), cells).into_iter().map(|line| (line, theme.plain())));
        }
        if !self.explanation.clean_beds.is_empty() {
            lines.push((String::new(), theme.plain()));
            let words = format!(
                "Beds that would take it that day without a finding: {}.",
                self.explanation.clean_beds.join(", ")
            );
            lines.extend(text::wrap(&words, cells).into_iter().map(|line| (line, theme.done())));
        }
        if let Some(reason) = &self.accepted {
            lines.push((String::new(), theme.plain()));
            let words = format!("{} accepted: {}", signs.accepted, shown(reason));
            lines.extend(text::wrap(&words, cells).into_iter().map(|line| (line, theme.plain())));
        }
        if !self.explanation.source.is_empty() {
            lines.push((String::new(), theme.plain()));
            let words = format!("Source: {}", shown(&self.explanation.source));
            lines.extend(text::wrap(&words, cells).into_iter().map(|line| (line, theme.faint())));
        }
        let height = u16::try_from(lines.len() + 2).unwrap_or(u16::MAX).min(area.height);
        let title = format!("Why: {}, rule {}", severity_word(self.severity), self.explanation.rule);
        let size = (u16::try_from(cells + 4).unwrap_or(90), height);
        let buf = frame.buffer_mut();
        let inside = paint::layer_box(buf, area, size, &title, theme, signs);
        let top = self.top.min(lines.len().saturating_sub(usize::from(inside.height)));
        for ((words, style), y) in lines.iter().skip(top).zip(inside.top()..inside.bottom()) {
            paint::put(buf, inside, inside.x + 1, y, words, *style);
        }
        paint::scrollbar(buf, inside, top, lines.len(), scene);
    }

    /// The fronts open to a key.
    pub fn fronts(&self) -> Vec<Front> {
        vec![Front::Why]
    }
}
