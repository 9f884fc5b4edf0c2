//! Checks against the world outside: published tables, handbooks and worked examples, each with its source.

mod rotation;
