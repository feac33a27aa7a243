//! Pieces of forms.
