//! Forms for single facts, one file a kind: the form, and how it is read.
