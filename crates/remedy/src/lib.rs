//! Verdict and options under a shop policy.
