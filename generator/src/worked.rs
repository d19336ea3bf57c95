//! Calculations that a course shows: each is worked once, however often it is asked for.

use std::fmt::Write as _;
use std::sync::Arc;

use fieldcoil_calc::calculator::Kind;
use fieldcoil_calc::input::Inputs;
use fieldcoil_calc::refusal::Refusal;
use fieldcoil_calc::report::Report;

use crate::memo::Memo;

/// What the library comes to.
pub type Worked = Result<Report, Refusal>;

/// A form is worked when its names are bound, when texts take numbers from it and when its page is made; and again
/// after each save in a preview.
static WORKED: Memo<Worked> = Memo::new(300);

/// Works these inputs.
pub fn worked(inputs: &Inputs) -> Arc<Worked> {
    WORKED.answer(question(inputs), || inputs.calculator.evaluate(inputs))
}

/// Everything that a result hangs on, in words.
pub fn question(inputs: &Inputs) -> String {
    let mut question = inputs.calculator.name.to_owned();
    for (field, entry) in inputs.entries() {
        // The unit too: a result is shown in the unit in which its form was filled in.
        let unit = match field.kind {
            Kind::Number(_) => inputs.shown_unit(field.name).symbol,
            Kind::Choice(_) | Kind::Text(_) => "",
        };
        write!(question, " {entry:?} {unit}").expect("a string takes all text");
    }
    question
}
