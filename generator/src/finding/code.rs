//! Every code that a finding can have.
