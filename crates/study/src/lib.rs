//! What a user can ask.
