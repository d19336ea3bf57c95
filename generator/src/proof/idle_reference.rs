//! Every text in the list of references is used.

use crate::course::{Course, Origin};
use crate::finding::Finding;

/// A reference is named by a lesson, by a limit or by the result of a calculator.
pub fn check(course: &Course, found: &mut Vec<Finding>) {
    let cited: Vec<&str> = course.cited.values().flatten().map(|source| source.from).collect();
    for reference in &course.references {
        let by_limit = course.limits.iter().any(
            |limit| matches!(&limit.origin, Some(Origin::Published(key)) if key.value == reference.key.value),
        );
        let by_result = cited.iter().any(|from| reference.is_named_in(from));
        if !by_limit && !by_result && reference.named_in.is_empty() {
            let message = format!("nothing refers to `{}`", reference.key.value);
            found.push(
                Finding::hint("idle-reference", message, reference.key.span, "named nowhere").help(format!(
                    "write `{}` beside the value that comes from it, say under `cite` how texts name it, or take it out",
                    reference.cite
                )),
            );
        }
    }
}
