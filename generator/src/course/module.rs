//! Modules: lessons that belong together, in teaching order.

use crate::source::{Span, Spanned};

/// One module of a course.
#[derive(Debug, Clone)]
pub struct Module {
    /// What it is called.
    pub title: String,
    /// One sentence for the first page.
    pub summary: String,
    /// Addresses of its lessons, in teaching order.
    pub lessons: Vec<Spanned<String>>,
    /// Where it stands.
    pub span: Span,
}
