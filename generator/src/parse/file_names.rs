//! Names of files that another system would refuse, change or take for one another.

use std::collections::BTreeMap;

use crate::finding::{Finding, shown};
use crate::portable;
use crate::source::SourceSet;

/// Looks at every file of the course, pictures and recordings too.
pub fn check(sources: &SourceSet, found: &mut Vec<Finding>) {
    let texts = sources.texts.iter().map(|text| text.path.as_str());
    let assets = sources.assets.iter().map(|asset| asset.path.as_str());
    let mut keys: BTreeMap<String, &str> = BTreeMap::new();
    for path in texts.chain(assets) {
        if let Some(problem) = portable::unfit(path) {
            found.push(
                Finding::warning_of_course(
                    "unportable-name",
                    format!("`{}` does not survive on every system: {problem}", shown(path)),
                )
                .help("rename the file or its folder, and the links to it"),
            );
        }
        if let Some(first) = keys.insert(portable::key(path), path) {
            found.push(
                Finding::warning_of_course(
                    "unportable-name",
                    format!("`{}` and `{}` are one file on Windows and macOS", shown(first), shown(path)),
                )
                .help("rename one of them: capitals alone do not tell names apart there"),
            );
        }
    }
}
