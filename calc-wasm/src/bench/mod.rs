//! What a checklist in the page reckons with and keeps, free of the page: stretches of time, numbers of steps, and the
//! line of text in which a browser keeps how far a student is.

pub mod kept;
pub mod steps;
pub mod stretch;
