//! Groups of crops that the engines themselves ask for. All others are words that only orders of crops use.

/// Every food crop that is no legume. Advice about it speaks of no crop in particular.
pub const MOST_CROPS: &str = "most crops";

/// Whatever comes next.
pub const ANY_CROP: &str = "next crop";

/// What is grown to be eaten or sold.
pub const CASH_CROP: &str = "cash crop";

/// Peas, beans and their relatives.
pub const LEGUME_CROP: &str = "legume crop";

/// What is grown for its root.
pub const ROOT_CROP: &str = "root crop";

/// What is grown to cover the ground and be dug in.
pub const COVER_CROP: &str = "cover crop";

/// The same by the name that gardens use for their own crops.
pub const GREEN_MANURE: &str = "green manure";

/// Grass that stands for years and is then broken.
pub const GRASS_LEY: &str = "grass ley";

/// Grasses that live on.
pub const PERENNIAL_GRASS: &str = "perennial grass";
