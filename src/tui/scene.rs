//! What every painting function sees: the garden, what is looked at, with which styles and signs it is drawn, and in which region.

use ratatui::layout::Rect;

use crate::garden::Planting;
use crate::season::Preview;

use super::session::Session;
use super::signs::Signs;
use super::theme::Theme;
use super::view::View;

/// All that a frame is painted from; painting changes none of it.
#[derive(Clone, Copy)]
pub struct Scene<'a> {
    /// The garden.
    pub session: &'a Session,
    /// What is looked at.
    pub view: &'a View,
    /// Its styles.
    pub theme: Theme,
    /// Its signs.
    pub signs: &'static Signs,
    /// A layer stands in front of the screen.
    pub is_behind: bool,
    /// The planting that the front layer is placing, changing or moving.
    pub draft: Option<Draft<'a>>,
}

/// A planting as it would be, and what the plan says of it.
pub type Draft<'a> = (&'a Planting, &'a Preview);

impl<'a> Scene<'a> {
    /// The scene of a garden as it is looked at, with nothing in front of it.
    pub fn of(session: &'a Session, view: &'a View) -> Self {
        let theme = Theme::of(view.options.has_colour);
        Self { session, view, theme, signs: Signs::of(view.options.is_ascii), is_behind: false, draft: None }
    }
}

/// The regions of the whole screen: top line, body, bottom line.
pub fn regions(area: Rect) -> (Rect, Rect, Rect) {
    let top = Rect { height: area.height.min(1), ..area };
    let bottom_height = u16::from(area.height >= 2);
    let bottom = Rect { y: area.bottom() - bottom_height, height: bottom_height, ..area };
    let body = Rect { y: top.bottom(), height: area.height - top.height - bottom_height, ..area };
    (top, body, bottom)
}
