//! What every painting function sees: the garden, what is looked at, and with which styles and signs it is drawn.

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
}

impl<'a> Scene<'a> {
    /// The scene of a garden as it is looked at.
    pub fn of(session: &'a Session, view: &'a View) -> Self {
        let options = view.options;
        Self { session, view, theme: Theme::of(options.has_colour), signs: Signs::of(options.is_ascii) }
    }
}
