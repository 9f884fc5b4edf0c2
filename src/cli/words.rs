//! Values of options that are one word of a few: what clap takes, offers in the help and names if another is given.

use clap::ValueEnum;
use clap::builder::PossibleValue;

use crate::climate::heat::Method;
use crate::crops::Raised;
use crate::garden::Cover;

/// How stations are set out, in a word.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum LayoutWord {
    Grid,
    Offset,
    Rows,
    Drill,
    Edge,
    Broadcast,
    // Of two crops only.
    #[value(hide = true)]
    Between,
}

impl ValueEnum for Cover {
    fn value_variants<'a>() -> &'a [Self] {
        &[Self::Open, Self::Fleece, Self::Mesh, Self::Cloche, Self::UnheatedTunnel, Self::Glass]
    }

    fn to_possible_value(&self) -> Option<PossibleValue> {
        Some(match self {
            Self::Open => PossibleValue::new("open"),
            Self::Fleece => PossibleValue::new("fleece"),
            Self::Mesh => PossibleValue::new("mesh"),
            Self::Cloche => PossibleValue::new("cloche"),
            Self::UnheatedTunnel => PossibleValue::new("tunnel").aliases([
                "unheated-tunnel",
                "unheated tunnel",
                "unheated_tunnel",
                "unheatedtunnel",
            ]),
            Self::Glass => PossibleValue::new("glass"),
        })
    }
}

/// "sets" and "modules" are no slip.
impl ValueEnum for Raised {
    fn value_variants<'a>() -> &'a [Self] {
        &[Self::InPlace, Self::Module, Self::Set, Self::Tuber, Self::Crown, Self::Slip, Self::Cutting]
    }

    fn to_possible_value(&self) -> Option<PossibleValue> {
        Some(match self {
            Self::InPlace => PossibleValue::new("in-place").aliases(["in place", "in_place", "inplace", "direct"]),
            Self::Module => PossibleValue::new("module").alias("modules"),
            Self::Set => PossibleValue::new("set").alias("sets"),
            Self::Tuber => PossibleValue::new("tuber").alias("tubers"),
            Self::Crown => PossibleValue::new("crown").alias("crowns"),
            Self::Slip => PossibleValue::new("slip").alias("slips"),
            Self::Cutting => PossibleValue::new("cutting").alias("cuttings"),
        })
    }
}

impl ValueEnum for Method {
    fn value_variants<'a>() -> &'a [Self] {
        &[Self::Sine, Self::Mean]
    }

    fn to_possible_value(&self) -> Option<PossibleValue> {
        match self {
            Self::Sine => Some(PossibleValue::new("sine")),
            Self::Mean => Some(PossibleValue::new("mean")),
            // For tables of maize growers; no option asks for it.
            Self::ClampedMean => None,
        }
    }
}

/// The word that an option takes for a value.
pub fn word_of(value: &impl ValueEnum) -> String {
    value.to_possible_value().map_or_else(String::new, |known| known.get_name().to_owned())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_word_is_taken_in_capitals_and_by_its_other_names() {
        for text in ["tunnel", "Unheated tunnel", "unheated_tunnel", "UnheatedTunnel"] {
            assert_eq!(Cover::from_str(text, true), Ok(Cover::UnheatedTunnel), "{text}");
        }
        assert_eq!(Raised::from_str("Modules", true), Ok(Raised::Module));
        // As the file has it, and as scripts may still say.
        for text in ["in-place", "InPlace", "In place", "direct"] {
            assert_eq!(Raised::from_str(text, true), Ok(Raised::InPlace), "{text}");
        }
        assert_eq!(word_of(&Raised::InPlace), "in-place");
        assert_eq!(word_of(&Cover::UnheatedTunnel), "tunnel");
        assert!(Cover::from_str("igloo", true).is_err());
    }
}
