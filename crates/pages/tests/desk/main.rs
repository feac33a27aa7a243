//! The pages as a person uses them: shown, filled in as rendered, sent, and shown again.

mod any_fields;
mod call;
mod code;
mod fill;
mod html;
mod layout;
mod look;
mod panel;
mod rules;
mod shop;
mod snapshots;
