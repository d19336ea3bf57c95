//! What catalogues of teaching material read about a lesson: schema.org's `LearningResource` as JSON-LD.
//!
//! The JSON stands in a `script` element of a kind that no browser runs, so the page's policy has nothing to say to it.

use serde_json::{Map, Value, json};

use super::link;
use crate::course::{Course, Outline};

/// The lesson as JSON without `<`, `>` and `&`, so that no text can end the element it stands in.
pub fn json(course: &Course, lesson: &Outline) -> String {
    let about = &course.about;
    let root = link::root_address(about);
    let mut whole = json!({ "@type": "Course", "name": about.title, "description": about.summary });
    whole["provider"] = json!({ "@type": "Organization", "name": about.school });
    let mut data = Map::new();
    let mut say = |key: &str, value: Value| data.insert(key.to_owned(), value);
    say("@context", json!("https://schema.org"));
    say("@type", json!("LearningResource"));
    say("name", json!(lesson.title));
    say("description", json!(lesson.summary));
    say("learningResourceType", json!("lesson"));
    say("inLanguage", json!(about.language));
    say("timeRequired", json!(format!("PT{}M", lesson.minutes)));
    let taught = taught(course, lesson);
    if !taught.is_empty() {
        say("teaches", Value::Array(taught));
    }
    if let Some(level) = &about.level {
        say("educationalLevel", json!(level));
    }
    if let Some(license) = &about.license {
        say("license", json!(license));
    }
    if let Some(root) = &root {
        say("url", json!(link::full(root, &link::page_path(&lesson.address))));
        whole["url"] = json!(root);
    }
    say("isPartOf", whole);
    let text = Value::Object(data).to_string();
    text.replace('<', "\\u003c").replace('>', "\\u003e").replace('&', "\\u0026")
}

/// What students are able to do afterwards, then the school's outcomes by their names.
fn taught(course: &Course, lesson: &Outline) -> Vec<Value> {
    let named = lesson.teaches.iter().filter_map(|name| {
        let outcome = course.outcomes.iter().find(|outcome| outcome.name.value == name.value)?;
        Some(json!({
            "@type": "DefinedTerm",
            "termCode": outcome.name.value,
            "name": outcome.text,
            "inDefinedTermSet": course.about.school,
        }))
    });
    lesson.outcomes.iter().map(|outcome| json!(outcome)).chain(named).collect()
}
