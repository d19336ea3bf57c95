//! Formulas as they are written in steps (`R = U / I_2`), turned into MathML.

use super::Html;

/// A formula as MathML, or as plain text with indices set low where it is words and no formula.
pub fn typeset(formula: &str) -> String {
    // What follows a comma in words is said about the formula and no part of it.
    if let Some((head, tail)) = formula.split_once(", ").filter(|(_, tail)| word_count(&tokens(tail)) > 1) {
        return [typeset(head), ", ".to_owned(), super::formula(tail)].concat();
    }
    let tokens = tokens(formula);
    // Names such as `ln` and `dt` belong into formulas; more of them are a sentence.
    if word_count(&tokens) > 2 {
        return super::formula(formula);
    }
    let is_formula = tokens.iter().any(|token| matches!(token, Token::Sign('=' | '≈' | '≤' | '≥')));
    let mut rest = tokens.as_slice();
    match parts(&mut rest) {
        Some(parts) if is_formula && rest.is_empty() => in_pieces(parts),
        _ => super::formula(formula),
    }
}

fn word_count(tokens: &[Token]) -> usize {
    tokens.iter().filter(|token| matches!(token, Token::Word(_))).count()
}

/// One `math` for each stretch up to the next operator, so that a long formula breaks between lines there.
fn in_pieces(parts: Vec<Set>) -> String {
    let mut pieces: Vec<String> = Vec::new();
    for part in parts {
        match pieces.last_mut() {
            Some(last) if !part.operator => last.push_str(&part.html),
            _ => pieces.push(part.html),
        }
    }
    let pieces: Vec<String> = pieces.iter().map(|piece| leaf("math", piece)).collect();
    pieces.join(" ")
}

/// A part that is set already.
struct Set {
    html: String,
    /// What stands between its brackets, if it is a bracket: a fraction's line or a root's makes them needless.
    bare: Option<String>,
    operator: bool,
}

impl Set {
    fn of(html: String) -> Self {
        Set { html, bare: None, operator: false }
    }

    fn bare(self) -> String {
        self.bare.unwrap_or(self.html)
    }
}

/// An element around what is set already.
fn leaf(tag: &str, inside: &str) -> String {
    ["<", tag, ">", inside, "</", tag, ">"].concat()
}

/// An element around text.
fn words(tag: &str, text: &str) -> String {
    let mut html = Html::default();
    html.leaf(tag, "", text);
    html.done()
}

/// A piece of a formula.
#[derive(Debug, Clone, PartialEq)]
enum Token {
    /// `0.127`
    Number(String),
    /// A unit after a number: `mΩ/m`.
    Unit(String),
    /// A letter with an index, or none.
    Letter(String, String),
    /// A name of more letters: `ln`, `dt`, words.
    Word(String),
    /// An operator, a relation or a mark.
    Sign(char),
    Open,
    Close,
    Root,
}

/// The pieces of a formula; a number takes the unit that follows it after one space.
fn tokens(formula: &str) -> Vec<Token> {
    let mut tokens = Vec::new();
    let mut rest = formula;
    while let Some(c) = rest.chars().next() {
        let after_number = matches!(tokens.last(), Some(Token::Number(_)));
        let trimmed = rest.strip_prefix([' ', '\u{a0}']);
        if let Some(unit) = trimmed.filter(|_| after_number).and_then(unit_at) {
            tokens.push(Token::Unit(unit.to_owned()));
            rest = &rest[c.len_utf8() + unit.len()..];
            continue;
        }
        let length = match c {
            ' ' | '\u{a0}' => c.len_utf8(),
            '0'..='9' => {
                let number = taken(rest, |c| c.is_ascii_digit() || c == '.');
                let number = number.trim_end_matches('.');
                tokens.push(Token::Number(number.to_owned()));
                number.len()
            }
            '(' | ')' => {
                tokens.push(if c == '(' { Token::Open } else { Token::Close });
                1
            }
            '√' => {
                tokens.push(Token::Root);
                c.len_utf8()
            }
            _ if c.is_alphabetic() => {
                let word = taken(rest, char::is_alphabetic);
                let index = index_at(&rest[word.len()..]);
                tokens.push(match word.chars().count() {
                    1 => Token::Letter(word.to_owned(), plain_index(index)),
                    _ => Token::Word([word, index].concat()),
                });
                word.len() + index.len()
            }
            _ => {
                tokens.push(Token::Sign(c));
                c.len_utf8()
            }
        };
        rest = &rest[length..];
    }
    tokens
}

fn taken(text: &str, belongs: impl Fn(char) -> bool) -> &str {
    &text[..text.find(|c| !belongs(c)).unwrap_or(text.len())]
}

/// The unit at the start of `text`: everything up to a space, a bracket or a mark, when it begins like a unit.
fn unit_at(text: &str) -> Option<&str> {
    let unit = taken(text, |c| !matches!(c, ' ' | '\u{a0}' | ')' | '(' | ';' | ',' | ':'));
    let starts = unit.chars().next().is_some_and(|c| c.is_alphabetic() || matches!(c, '°' | '%'));
    starts.then_some(unit)
}

/// `_b` or `₂₀` at the start of `text`.
fn index_at(text: &str) -> &str {
    match text.strip_prefix('_') {
        Some(after) => &text[..1 + taken(after, |c| c.is_ascii_alphanumeric()).len()],
        None => taken(text, |c| ('₀'..='₉').contains(&c)),
    }
}

fn plain_index(index: &str) -> String {
    let digit = |c: char| match c {
        '₀'..='₉' => char::from(b'0' + (c as u32 - '₀' as u32) as u8),
        c => c,
    };
    index.trim_start_matches('_').chars().map(digit).collect()
}

/// What stands in a bracket, or in the whole, as one.
fn row(rest: &mut &[Token]) -> Option<String> {
    Some(parts(rest)?.into_iter().map(|part| part.html).collect())
}

/// Everything up to the bracket that closes it, or to the end; nothing when brackets do not match.
fn parts(rest: &mut &[Token]) -> Option<Vec<Set>> {
    let mut parts: Vec<Set> = Vec::new();
    while let Some(token) = rest.first() {
        match token {
            Token::Close => break,
            Token::Sign('^') => return None,
            Token::Sign('/') => {
                *rest = &rest[1..];
                let above = parts.pop().filter(|part| !part.operator)?.bare();
                let below = factor(rest)?.bare();
                parts.push(Set::of(leaf("mfrac", &[above, below].concat())));
            }
            Token::Sign(sign) => {
                // A sign that begins a piece stands between two all the same.
                let html = match parts.is_empty() {
                    true => operator(*sign),
                    false => between(*sign),
                };
                parts.push(Set { html, bare: None, operator: true });
                *rest = &rest[1..];
            }
            _ => parts.push(factor(rest)?),
        }
    }
    Some(parts)
}

/// One factor with its power: a number with its unit, a letter, a bracket, a root.
fn factor(rest: &mut &[Token]) -> Option<Set> {
    let (token, after) = rest.split_first()?;
    *rest = after;
    let set = Set::of(match token {
        Token::Number(number) => {
            let number = words("mn", number);
            match rest.first() {
                Some(Token::Unit(unit)) => {
                    *rest = &rest[1..];
                    leaf("mrow", &[number, words("mtext", &["\u{a0}", unit].concat())].concat())
                }
                _ => number,
            }
        }
        Token::Letter(letter, index) => indexed(letter, index),
        Token::Word(word) => words("mtext", &word.replace('_', " ")),
        Token::Unit(unit) => words("mtext", unit),
        Token::Open => {
            let inside = row(rest)?;
            close(rest)?;
            let html = leaf("mrow", &[operator('('), inside.clone(), operator(')')].concat());
            return powers(Set { html, bare: Some(leaf("mrow", &inside)), operator: false }, rest);
        }
        Token::Root => leaf("msqrt", &factor(rest)?.bare()),
        // A sign before a factor: a negative power or denominator.
        Token::Sign(sign @ ('−' | '-' | '+')) => {
            leaf("mrow", &[operator(*sign), factor(rest)?.html].concat())
        }
        Token::Sign(_) | Token::Close => return None,
    });
    powers(set, rest)
}

/// The powers that follow a factor.
fn powers(mut set: Set, rest: &mut &[Token]) -> Option<Set> {
    while let Some(Token::Sign(sign @ ('²' | '³' | '^'))) = rest.first() {
        *rest = &rest[1..];
        let power = match sign {
            '²' => words("mn", "2"),
            '³' => words("mn", "3"),
            _ => factor(rest)?.bare(),
        };
        set = Set::of(leaf("msup", &[set.html, power].concat()));
    }
    Some(set)
}

fn close(rest: &mut &[Token]) -> Option<()> {
    let (token, after) = rest.split_first()?;
    *rest = after;
    (*token == Token::Close).then_some(())
}

fn indexed(letter: &str, index: &str) -> String {
    let letter = words("mi", letter);
    if index.is_empty() { letter } else { leaf("msub", &[letter, words("mtext", index)].concat()) }
}

/// An operator between two parts, even where a piece begins with it.
fn between(sign: char) -> String {
    let mut html = Html::default();
    html.leaf("mo", "form=\"infix\"", sign.encode_utf8(&mut [0; 4]));
    html.done()
}

fn operator(sign: char) -> String {
    words("mo", sign.encode_utf8(&mut [0; 4]))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn set(formula: &str) -> String {
        typeset(formula)
    }

    #[test]
    fn fractions_powers_indices_and_roots_are_set() {
        assert_eq!(
            set("R = U_b / (I + 2)"),
            "<math><mi>R</mi></math> <math><mo form=\"infix\">=</mo><mfrac><msub><mi>U</mi><mtext>b</mtext></msub>\
             <mrow><mi>I</mi><mo form=\"infix\">+</mo><mn>2</mn></mrow></mfrac></math>"
        );
        assert_eq!(set("A = π · d² / 4").matches("<mfrac><msup>").count(), 1);
        assert!(set("d = 92^((36 − n) / 39)").contains("<msup><mn>92</mn><mrow><mfrac>"));
        assert!(set("x = √(a + b)").contains("<msqrt><mrow><mi>a</mi>"));
        assert!(set("R₂₀ = 1").contains("<msub><mi>R</mi><mtext>20</mtext></msub>"));
    }

    #[test]
    fn a_unit_stays_with_its_number() {
        assert_eq!(
            set("U = 180 A · 1.5 mΩ/m"),
            "<math><mi>U</mi></math> <math><mo form=\"infix\">=</mo><mrow><mn>180</mn><mtext>\u{a0}A</mtext></mrow></math> \
             <math><mo form=\"infix\">·</mo><mrow><mn>1.5</mn><mtext>\u{a0}mΩ/m</mtext></mrow></math>"
        );
        assert!(set("p = 100 % · U / 12 V").contains("<mfrac><mi>U</mi><mrow><mn>12</mn>"));
        assert!(set("P = (180 A)² · 2").contains("<msup><mrow><mo>(</mo>"));
    }

    #[test]
    fn a_remark_after_a_formula_stays_text() {
        let set = set("u = s / √(100), the number of readings");
        assert!(set.contains("<mfrac>") && set.ends_with("</math>, the number of readings"), "{set}");
    }

    #[test]
    fn what_is_no_formula_stays_text() {
        for words in [
            "r₂₀ from the table",
            "40 A ok?",
            "",
            "(a = b",
            "a = b)",
            "x = / 2",
            "= ^",
            "I = what the meter shows",
        ] {
            assert!(!set(words).contains("<math>"), "{words}");
        }
    }
}
