//! A report as JSON. Numbers are in base units and read back exactly; what is not known is `null`.

use fieldcoil_calc::calculator::{Field, OutputKind};
use fieldcoil_calc::chart::Chart;
use fieldcoil_calc::input::{Entry, Measured, entry_text};
use fieldcoil_calc::report::{Answer, Report, Value};
use serde_json::{Map, Value as Json, json};

/// The whole report.
pub fn report(report: &Report) -> String {
    let inputs: Map<String, Json> =
        report.inputs.entries().map(|(field, entry)| (field.name.to_owned(), input(field, entry))).collect();
    let outputs: Map<String, Json> =
        report.answers.iter().map(|answer| (answer.output.name.to_owned(), output(answer))).collect();
    let steps: Vec<Json> = report
        .steps
        .iter()
        .map(|step| {
            json!({ "title": step.title, "formula": step.formula, "numbers": step.numbers, "result": step.result })
        })
        .collect();
    let tables: Vec<Json> = report
        .tables
        .iter()
        .map(|table| json!({ "title": table.title, "heads": table.heads, "rows": table.rows }))
        .collect();
    let charts: Vec<Json> = report.charts.iter().map(chart).collect();
    let findings: Vec<Json> = report
        .findings
        .iter()
        .map(|finding| json!({ "level": finding.level.word(), "text": finding.text }))
        .collect();
    let sources: Vec<Json> =
        report.sources.iter().map(|source| json!({ "fact": source.fact, "from": source.from })).collect();
    let whole = json!({
        "calculator": report.inputs.calculator.name,
        "inputs": inputs,
        "outputs": outputs,
        "steps": steps,
        "tables": tables,
        "sense": report.sense,
        "charts": charts,
        "findings": findings,
        "sources": sources,
    });
    serde_json::to_string_pretty(&whole).unwrap_or_default()
}

/// A chart's title, what it shows in words, and its curves in base units.
fn chart(chart: &Chart) -> Json {
    let series: Vec<Json> =
        chart.series.iter().map(|series| json!({ "name": series.name, "points": series.points })).collect();
    json!({ "title": chart.title, "says": chart.says(), "series": series })
}

fn input(field: &Field, entry: &Entry) -> Json {
    match entry {
        Entry::Empty => Json::Null,
        Entry::Number(Measured { value, .. }) => json!(value),
        Entry::Choice(_) | Entry::Other(_) | Entry::Text(_) => json!(entry_text(field, entry)),
    }
}

fn output(answer: &Answer) -> Json {
    let unit = match &answer.output.kind {
        OutputKind::Number(quantity, _) => quantity.base().symbol,
        OutputKind::Text | OutputKind::State => "",
    };
    let (value, uncertainty) = match &answer.value {
        Value::Number(value, uncertainty) => (json!(value), *uncertainty),
        Value::Text(text) => (json!(text), None),
        Value::State(state) => (json!(state.words()), None),
    };
    // The expanded uncertainty, and the coverage factor it holds.
    json!({
        "value": value,
        "unit": unit,
        "uncertainty": uncertainty.map(|part| part.expanded),
        "coverage_factor": uncertainty.map(|part| part.factor),
    })
}
