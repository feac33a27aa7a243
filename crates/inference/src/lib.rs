//! From evidence to joint conditions, causes and the next best safe check.
