//! The laws, as functions of quantities.
