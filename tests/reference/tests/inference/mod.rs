//! Checks of `inference` against programs that are not ours.

mod posterior;
