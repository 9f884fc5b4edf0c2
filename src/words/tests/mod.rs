//! What is said of small gardens.

mod findings;
mod reasons;
mod rotation;
