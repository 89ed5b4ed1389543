//! Predictions against the survey and the published formulae.
