//! Helpers of the tests.
