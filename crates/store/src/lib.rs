//! Where facts and photos are kept.
