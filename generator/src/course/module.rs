//! Modules: lessons that belong together, in teaching order.

use super::About;
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

/// The module that a lesson belongs to, with its number, counted from 1.
pub fn module_of<'a>(about: &'a About, address: &str) -> Option<(usize, &'a Module)> {
    let holds = |module: &Module| module.lessons.iter().any(|lesson| lesson.value == address);
    (1..).zip(&about.modules).find(|(_, module)| holds(module))
}
