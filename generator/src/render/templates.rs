//! The theme's templates, read once; a mistake in one shows when the first page is made, and in every test.

use std::collections::BTreeMap;
use std::sync::LazyLock;

use serde::Serialize;
use tera::{Context, Tera, Value};

use super::words::Words;
use crate::asset::{theme, theme_below};

static TEMPLATES: LazyLock<Tera> = LazyLock::new(|| {
    let mut tera = Tera::default();
    let files = theme_below("templates/").map(|(path, text)| (path.trim_start_matches("templates/"), text));
    tera.add_raw_templates(files.collect::<Vec<_>>())
        .unwrap_or_else(|problem| panic!("the theme: {problem}"));
    tera
});

/// The marks that templates put before words.
static ICONS: LazyLock<Value> = LazyLock::new(|| {
    let icons: BTreeMap<&str, &str> = [
        ("coil", icon("coil")),
        ("live", icon("live")),
        ("sheet", icon("sheet")),
        ("first_page", icon("first-page")),
    ]
    .into();
    Value::from_serializable(&icons)
});

/// A mark of the theme as SVG text.
pub fn icon(name: &str) -> &'static str {
    theme(&format!("icons/{name}.svg")).trim()
}

/// A page from its template.
pub fn page(template: &str, words: &Words, views: &impl Serialize) -> anyhow::Result<String> {
    let mut context = Context::from_serialize(views)?;
    add_common(&mut context, words);
    Ok(TEMPLATES.render(template, &context)?)
}

/// A piece of a page from its component, which takes one argument called `it`.
pub fn piece(component: &str, words: &Words, it: &impl Serialize) -> anyhow::Result<String> {
    let mut arguments = Context::new();
    arguments.insert("it", it);
    let mut common = Context::new();
    add_common(&mut common, words);
    Ok(TEMPLATES.render_component_with_implicits(component, &arguments, &common, None, true)?)
}

fn add_common(context: &mut Context, words: &Words) {
    context.insert_value("words", words.value());
    context.insert_value("icons", ICONS.clone());
}
