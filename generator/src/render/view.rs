//! The values that templates may see, and nothing else.

use serde::Serialize;

use super::handin::DeskView;

/// What every page has around its sheet.
#[derive(Debug, Default, Serialize)]
pub struct PageView {
    pub language: String,
    pub course: String,
    pub course_slug: String,
    /// Key under which the browser keeps what is typed here: the lesson's address.
    pub address: String,
    pub head_title: String,
    pub description: String,
    /// The full address of this page; empty when nobody knows it.
    pub canonical: String,
    /// What catalogues read about a lesson, as JSON that is safe inside a `script` element; empty elsewhere.
    pub data: String,
    /// What leads from this page to the root of the site: nothing, or `../` as often as needed.
    pub root: String,
    /// Where the styles are looked for: in the root, and for a page that is shown anywhere in each root it may have.
    pub style_roots: Vec<String>,
    /// Do links of this page lead somewhere? Not on a page that is shown anywhere and does not know where.
    pub linked: bool,
    pub styles: String,
    pub icon: String,
    /// The calculators' script, empty on pages without use for it.
    pub script: String,
    pub is_first: bool,
    pub lessons: Vec<LessonLink>,
    pub previous: Option<Neighbour>,
    pub next: Option<Neighbour>,
    /// Pages to look something up; those for who teaches stand on the first page alone.
    pub look_up: Vec<LinkView>,
    pub block: BlockView,
}

/// A lesson in the strip at the top.
#[derive(Debug, Serialize)]
pub struct LessonLink {
    pub number: usize,
    pub title: String,
    pub href: String,
    /// Value of `aria-current`, empty for the others.
    pub current: &'static str,
}

/// The lesson before or after.
#[derive(Debug, Serialize)]
pub struct Neighbour {
    pub label: String,
    pub title: String,
    pub href: String,
}

/// The title block at the foot of a sheet.
#[derive(Debug, Default, Serialize)]
pub struct BlockView {
    pub school: String,
    pub course: String,
    /// The module, or nothing.
    pub module: String,
    pub title: String,
    pub lesson: String,
    pub sheet: String,
    pub edition: String,
    pub author: String,
}

/// The first page of a course.
#[derive(Debug, Serialize)]
pub struct FirstView {
    pub school: String,
    pub title: String,
    pub summary: String,
    /// The lessons by modules; one group without a title when there are none.
    pub groups: Vec<LessonGroupView>,
    /// The term, or nothing.
    pub term: String,
    /// The page of the school's outcomes, or nothing.
    pub outcomes: String,
    pub look_up: Vec<PageLinkView>,
    pub instructor: Vec<PageLinkView>,
    /// The page of the limits, or nothing.
    pub limits: String,
    /// The page of the published facts, or nothing.
    pub sources: String,
    pub warning: CautionView,
}

/// A module in the list of the first page.
#[derive(Debug, Serialize)]
pub struct LessonGroupView {
    /// Nothing where the course has no modules.
    pub title: String,
    pub summary: String,
    pub lessons: Vec<LessonRowView>,
}

/// Tables that the program makes, or the words of the glossary.
#[derive(Debug, Serialize)]
pub struct LibraryView {
    pub tables: Vec<TableView>,
    pub entries: Vec<EntryView>,
}

/// A table; the first cell of a row heads it.
#[derive(Debug, Serialize)]
pub struct TableView {
    pub caption: String,
    pub heads: Vec<String>,
    /// Cells as HTML.
    pub rows: Vec<Vec<String>>,
    /// What the letters in it mean.
    pub letters: Vec<LetterView>,
    /// What stands under it: HTML.
    pub notes: Vec<String>,
}

/// A letter of formulas.
#[derive(Debug, Serialize)]
pub struct LetterView {
    /// HTML.
    pub letter: String,
    pub means: String,
}

/// A word of the glossary.
#[derive(Debug, Serialize)]
pub struct EntryView {
    pub anchor: String,
    pub word: String,
    /// HTML, or nothing.
    pub symbol: String,
    pub means: String,
    pub also: Vec<String>,
    pub see: Vec<LinkView>,
}

/// A page that is no lesson in a list of the first page.
#[derive(Debug, Serialize)]
pub struct PageLinkView {
    pub title: String,
    pub href: String,
    pub summary: String,
}

/// A lesson in the list of the first page.
#[derive(Debug, Serialize)]
pub struct LessonRowView {
    pub title: String,
    pub href: String,
    pub summary: String,
    pub minutes: String,
    /// The week in which it is taught, or nothing.
    pub week: String,
    pub outcomes: Vec<String>,
    pub sheet: String,
}

/// An outcome of the school's list with the lessons that see to it.
#[derive(Debug, Serialize)]
pub struct OutcomeView {
    pub name: String,
    pub text: String,
    pub priority: u32,
    pub taught: Vec<LinkView>,
    pub practised: Vec<LinkView>,
    pub assessed: Vec<LinkView>,
}

/// A page of tables of facts.
#[derive(Debug, Serialize)]
pub struct FactsView {
    pub title: String,
    pub about: String,
    pub tables: Vec<FactTable>,
    pub more: Option<LinkView>,
}

/// A table of facts.
#[derive(Debug, Serialize)]
pub struct FactTable {
    /// Nothing when the page has no other.
    pub title: String,
    pub about: String,
    pub label: String,
    pub heads: Vec<String>,
    pub rows: Vec<Vec<FactCell>>,
}

/// A cell of such a table: words, or links.
#[derive(Debug, Serialize)]
pub struct FactCell {
    pub words: String,
    pub links: Vec<LinkView>,
}

/// A lesson's page.
#[derive(Debug, Serialize)]
pub struct LessonView {
    /// What stands above the title: lesson and module, or what kind of page it is.
    pub kicker: String,
    pub title: String,
    pub summary: String,
    /// Nothing on a page that is no lesson.
    pub minutes: String,
    /// The week in which it is taught, or nothing.
    pub week: String,
    pub before: Vec<LinkView>,
    pub author: String,
    pub sheet: String,
    pub outcomes: Vec<String>,
    pub headings: Vec<HeadingView>,
    /// HTML.
    pub pieces: Vec<String>,
    pub notes: Vec<NoteView>,
    /// Nothing when there is nothing to work.
    pub desk: Option<DeskView>,
}

/// A link to another page.
#[derive(Debug, Serialize)]
pub struct LinkView {
    pub title: String,
    pub href: String,
}

/// A heading in the list of what stands on a sheet.
#[derive(Debug, Serialize)]
pub struct HeadingView {
    pub id: String,
    pub text: String,
}

/// A footnote.
#[derive(Debug, Serialize)]
pub struct NoteView {
    pub html: String,
}

/// A bench sheet.
#[derive(Debug, Serialize)]
pub struct BenchSheetView {
    pub heading: String,
    pub lesson: String,
    pub cautions: Vec<CautionView>,
    pub hookups: Vec<HookupView>,
    /// Diagrams of the hookups.
    pub circuits: Vec<CircuitView>,
    pub worksheets: Vec<WorksheetView>,
    pub desk: Option<DeskView>,
}

/// A safety note.
#[derive(Debug, Serialize)]
pub struct CautionView {
    pub signal: &'static str,
    pub word: String,
    /// SVG of the shape that goes with the signal word.
    pub mark: &'static str,
    pub hazard: String,
    pub consequence: String,
    pub avoid: Vec<String>,
    pub sign: Option<SignView>,
}

/// A safety sign.
#[derive(Debug, Serialize)]
pub struct SignView {
    pub svg: &'static str,
    pub meaning: &'static str,
}

/// A picture with its caption: exactly one of `drawing` and `file` is there.
#[derive(Debug, Serialize)]
pub struct FigureView {
    pub id: String,
    pub alt: String,
    pub number: String,
    pub caption: String,
    /// An SVG element that has been checked.
    pub drawing: String,
    pub file: Option<PictureView>,
}

/// A picture that is a file of its own.
#[derive(Debug, Serialize)]
pub struct PictureView {
    pub address: String,
    pub width: Option<u32>,
    pub height: Option<u32>,
}

/// A wiring diagram.
#[derive(Debug, Serialize)]
pub struct CircuitView {
    pub id: String,
    pub number: String,
    pub title: String,
    pub text: String,
    /// Anchor of the hookup whose steps light it, or nothing.
    pub hookup: String,
    /// Too wide for a phone to show it legibly at once.
    pub wide: bool,
    /// An SVG element.
    pub drawing: String,
    pub moments: Vec<MomentView>,
    pub connections: Vec<ConnectionView>,
    /// Nothing when the circuit has no numbers.
    pub values: Option<ValueTableView>,
}

/// A checklist and its diagram, side by side where there is room.
#[derive(Debug, Serialize)]
pub struct PairView {
    /// HTML.
    pub first: String,
    /// HTML.
    pub second: String,
}

/// A state that can be chosen.
#[derive(Debug, Serialize)]
pub struct MomentView {
    pub index: usize,
    pub name: String,
    pub shown: bool,
}

/// A wire in words.
#[derive(Debug, Serialize)]
pub struct ConnectionView {
    pub from: String,
    pub to: String,
    pub label: String,
    pub steps: String,
}

/// What stands beside things, moment by moment.
#[derive(Debug, Serialize)]
pub struct ValueTableView {
    /// Heads of the columns.
    pub moments: Vec<String>,
    pub rows: Vec<ValueRowView>,
}

/// One thing, with its values at the moments.
#[derive(Debug, Serialize)]
pub struct ValueRowView {
    pub name: String,
    pub values: Vec<String>,
}

/// A hookup-order checklist.
#[derive(Debug, Serialize)]
pub struct HookupView {
    pub id: String,
    /// Its name in hand-ins: its own, or else its anchor.
    pub name: String,
    pub title: String,
    pub bench: String,
    pub limit: String,
    /// Has any step a timer?
    pub is_timed: bool,
    pub phases: Vec<PhaseView>,
}

/// One list of a checklist.
#[derive(Debug, Serialize)]
pub struct PhaseView {
    pub name: &'static str,
    pub title: String,
    pub start: usize,
    pub steps: Vec<StepView>,
}

/// One step.
#[derive(Debug, Serialize)]
pub struct StepView {
    pub number: usize,
    pub action: &'static str,
    pub r#do: &'static str,
    pub object: String,
    pub amount: String,
    pub say: String,
    pub why: String,
    /// How long it lasts, in milliseconds: of a step with a timer, else zero.
    pub ms: u64,
    pub live: bool,
    pub check: bool,
}

/// A calculator with its form and the result of its starting values.
#[derive(Debug, Serialize)]
pub struct CalculatorView {
    pub id: String,
    pub name: &'static str,
    pub title: String,
    pub summary: &'static str,
    pub groups: Vec<GroupView>,
    pub result: ResultView,
}

/// Fields under one heading.
#[derive(Debug, Serialize)]
pub struct GroupView {
    pub title: &'static str,
    pub fields: Vec<FieldView>,
}

/// One field: exactly one of `number`, `choice` and `text` is there.
#[derive(Debug, Serialize)]
pub struct FieldView {
    pub name: &'static str,
    pub label: &'static str,
    /// HTML: a letter, perhaps with one set low.
    pub symbol: String,
    pub help: &'static str,
    pub locked: bool,
    pub optional: bool,
    pub number: Option<NumberView>,
    pub choice: Option<ChoiceView>,
    pub text: Option<TextView>,
}

/// The box of a text field.
#[derive(Debug, Serialize)]
pub struct TextView {
    pub value: String,
    pub example: &'static str,
    pub lines: usize,
    /// Empty when no file may be chosen in its place.
    pub file_label: String,
}

/// The boxes of a number field.
#[derive(Debug, Serialize)]
pub struct NumberView {
    pub value: String,
    pub measured: bool,
    pub plus_minus: String,
    pub plus_minus_label: String,
    pub unit: &'static str,
    pub unit_label: String,
    /// Empty when there is only one.
    pub units: Vec<UnitView>,
    pub range: String,
}

/// A unit in the list of a number field.
#[derive(Debug, Serialize)]
pub struct UnitView {
    pub symbol: &'static str,
    pub selected: bool,
}

/// The list of a choice field.
#[derive(Debug, Serialize)]
pub struct ChoiceView {
    pub start: &'static str,
    pub options: Vec<OptionView>,
    pub other: Option<OtherView>,
    pub range: String,
}

/// An option of a list.
#[derive(Debug, Serialize)]
pub struct OptionView {
    pub key: &'static str,
    pub label: &'static str,
    pub selected: bool,
}

/// The box in place of an option.
#[derive(Debug, Serialize)]
pub struct OtherView {
    pub open: bool,
    pub value: String,
    pub label: &'static str,
    pub unit: &'static str,
}

/// The parts of a result as HTML.
#[derive(Debug, Serialize)]
pub struct ResultView {
    pub state: &'static str,
    pub readings: String,
    pub findings: String,
    pub steps: String,
    pub sources: String,
}

/// A problem with drawn numbers.
#[derive(Debug, Serialize)]
pub struct HomeworkView {
    pub id: String,
    pub name: String,
    pub title: String,
    /// HTML: the text, with an empty place where each drawn value stands.
    pub text: String,
    pub hint: String,
    pub points: String,
    /// The problem as the page reads it.
    pub item: String,
    /// Is there a term, and so a code to enter?
    pub has_term: bool,
    pub asks: Vec<HomeworkAskView>,
    pub reasons: Vec<HomeworkReasonView>,
}

/// One thing that is asked.
#[derive(Debug, Serialize)]
pub struct HomeworkAskView {
    pub name: String,
    pub text: String,
    pub hint: String,
    /// How it is answered: a number, in which unit.
    pub wanted: String,
    pub points: String,
}

/// Something that is answered in words.
#[derive(Debug, Serialize)]
pub struct HomeworkReasonView {
    pub number: usize,
    pub text: String,
    pub points: String,
    pub lines: u32,
}

/// A sheet for readings.
#[derive(Debug, Serialize)]
pub struct WorksheetView {
    pub id: String,
    pub title: String,
    pub table_label: String,
    pub blanks: Vec<String>,
    pub readings: Vec<ReadingView>,
    pub questions: Vec<QuestionView>,
    pub sign_off: Vec<String>,
}

/// A row of a worksheet.
#[derive(Debug, Serialize)]
pub struct ReadingView {
    pub name: String,
    pub label: String,
    pub unit: String,
    pub limit: String,
    pub source: String,
}

/// A question with its empty lines.
#[derive(Debug, Serialize)]
pub struct QuestionView {
    pub ask: String,
    /// One entry for each line, for templates can only repeat over lists.
    pub lines: Vec<u32>,
}
