//! The demo garden opens, holds exactly the mistakes its header comment lists, and is written back byte for byte.
