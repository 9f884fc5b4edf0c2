//! Errors in words for the bottom line: the reason, without the full path, which would push it out of sight.

use crate::store::{SaveError, StoreError};

/// The first line of an error and of each of its causes.
pub(super) fn reason(error: &anyhow::Error) -> String {
    let mut told: Vec<String> = Vec::new();
    for cause in error.chain() {
        let of_store = cause.downcast_ref::<StoreError>().or_else(|| match cause.downcast_ref() {
            Some(SaveError::Store(error)) => Some(error),
            _ => None,
        });
        if let Some(error) = of_store {
            // Its message already includes its cause.
            told.push(error.reason());
            break;
        }
        let words = cause.to_string();
        let first = words.lines().next().unwrap_or_default();
        told.push(first.strip_prefix("error: ").unwrap_or(first).to_owned());
    }
    told.join(": ")
}

#[cfg(test)]
mod tests {
    use std::path::PathBuf;

    use super::*;

    #[test]
    fn the_reason_is_told_and_not_the_whole_path() {
        let path = PathBuf::from(format!("/srv/{}/walled.ron", "gardens/".repeat(40)));
        let full = || StoreError::NoRoom { path: path.clone() };
        assert_eq!(reason(&full().into()), "the disk is full, writing walled.ron");
        assert_eq!(reason(&SaveError::Store(full()).into()), "the disk is full, writing walled.ron");
        let within = anyhow::Error::from(full()).context("the list is not written");
        assert_eq!(reason(&within), "the list is not written: the disk is full, writing walled.ron");
        let broken = anyhow::anyhow!("error: the file is empty\n --> walled.ron");
        assert_eq!(reason(&broken), "the file is empty");
    }
}
