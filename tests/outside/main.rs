//! The main job against the world outside: published tables, handbook figures, worked examples.

mod botanical;
