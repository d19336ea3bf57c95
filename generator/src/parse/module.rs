//! The `[[module]]` tables of `course.toml`.

use super::keys::Keys;
use crate::course::Module;
use crate::finding::Finding;

/// Reads them, in order.
pub fn modules(keys: &mut Keys, found: &mut Vec<Finding>) -> Vec<Module> {
    let tables = keys.tables("module", "this module", found);
    let read = |mut keys: Keys| {
        let title = keys.needed_text("title", found).value;
        let summary = keys.needed_text("summary", found).value;
        keys.need("lessons", "[\"safety-at-the-bench\"]", found);
        let said = keys.has("lessons");
        let lessons = keys.texts("lessons", found);
        if said && lessons.is_empty() {
            let place = keys.span_of("lessons");
            found.push(
                Finding::warning("empty-module", "this module has no lessons", place, "shown with none")
                    .help("name its lessons: `lessons = [\"…\"]`, or take the module out"),
            );
        }
        keys.finish(found);
        Module { title, summary, lessons, span: keys.span }
    };
    tables.into_iter().map(read).collect()
}
