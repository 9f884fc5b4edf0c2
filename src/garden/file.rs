//! The garden file: reading with errors that point at the line, and stable writing.

use super::Garden;

/// Why a garden file cannot be used. Its text is for the person: what, where (file, line, column), the line, what to do.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("{0}")]
pub struct FileError(pub String);

impl Garden {
    /// Reads a garden from the text of a file; `file_name` is for messages.
    ///
    /// # Errors
    /// Not RON, unknown or missing fields, a newer format, or contents that do not hold together.
    pub fn from_ron(text: &str, file_name: &str) -> Result<Self, FileError> {
        let _ = (text, file_name);
        unimplemented!()
    }

    /// Writes the garden as RON: the same garden is the same bytes.
    pub fn to_ron(&self) -> String {
        unimplemented!()
    }

    /// An empty garden with sensible values.
    pub fn empty(name: &str) -> Self {
        let _ = name;
        unimplemented!()
    }
}
