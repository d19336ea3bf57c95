//! The texts of blocks in which a calculated number may stand.

use crate::course::Piece;
use crate::course::selfcheck::Task;
use crate::source::Span;

/// These texts of a piece, and where the piece begins.
pub fn of<'p>(piece: &'p mut Piece<'_>) -> Option<(Span, Vec<&'p mut String>)> {
    let mut texts: Vec<&mut String> = Vec::new();
    let span = match piece {
        Piece::Prose(_) | Piece::Listing(_) | Piece::Library(_) => return None,
        Piece::Calculator(block) => {
            texts.extend(&mut block.title);
            block.span
        }
        Piece::Caution(note) => {
            texts.extend([&mut note.hazard, &mut note.consequence]);
            texts.extend(&mut note.avoid);
            note.span
        }
        Piece::Hookup(hookup) => {
            texts.extend(hookup.steps.iter_mut().flat_map(|step| [&mut step.say, &mut step.why]));
            hookup.span
        }
        Piece::Circuit(circuit) => {
            texts.push(&mut circuit.text);
            circuit.span
        }
        Piece::Homework(homework) => {
            texts.extend([&mut homework.text.value, &mut homework.hint]);
            texts.extend(homework.asks.iter_mut().flat_map(|ask| [&mut ask.text, &mut ask.hint]));
            texts.extend(homework.reasons.iter_mut().map(|reason| &mut reason.text));
            homework.span
        }
        Piece::Selfcheck(selfcheck) => {
            for question in &mut selfcheck.questions {
                texts.extend([&mut question.ask.value, &mut question.why]);
                task(&mut question.task, &mut texts);
            }
            selfcheck.span
        }
        Piece::Worksheet(sheet) => {
            texts.extend(&mut sheet.blanks);
            for reading in &mut sheet.readings {
                texts.extend([&mut reading.label, &mut reading.source]);
                texts.extend(&mut reading.limit);
            }
            texts.extend(sheet.questions.iter_mut().map(|question| &mut question.ask));
            texts.extend(&mut sheet.sign_off);
            sheet.span
        }
        Piece::Trace(trace) => {
            texts.extend([&mut trace.title, &mut trace.text]);
            trace.span
        }
        Piece::Figure(figure) => {
            texts.push(&mut figure.alt);
            texts.extend(&mut figure.caption);
            figure.span
        }
    };
    Some((span, texts))
}

fn task<'t>(task: &'t mut Task, texts: &mut Vec<&'t mut String>) {
    match task {
        Task::Choose(task) => {
            texts.extend(
                task.choices.iter_mut().flat_map(|choice| [&mut choice.text.value, &mut choice.says]),
            );
        }
        Task::Number(task) => texts.extend(task.wrong.iter_mut().map(|wrong| &mut wrong.says)),
        Task::Order(task) => texts.extend(task.sentences.iter_mut().map(|sentence| &mut sentence.value)),
        Task::Label(task) => texts.extend(task.places.iter_mut().map(|place| &mut place.says)),
    }
}
