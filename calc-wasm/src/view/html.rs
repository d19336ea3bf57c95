//! Elements written as HTML, one after the other.

/// HTML that grows.
#[derive(Debug, Default, Clone, PartialEq)]
pub struct Html(String);

impl Html {
    /// Begins an element; `attributes` are written as they are: `class="stamp"`, or nothing.
    pub fn open(&mut self, tag: &str, attributes: &str) {
        self.0.push('<');
        self.0.push_str(tag);
        if !attributes.is_empty() {
            self.0.push(' ');
            self.0.push_str(attributes);
        }
        self.0.push('>');
    }

    /// Begins an element with one attribute whose value is any text.
    pub fn open_with(&mut self, tag: &str, attributes: &str, name: &str, value: &str) {
        self.open(tag, attributes);
        self.0.pop();
        self.0.push(' ');
        self.0.push_str(name);
        self.0.push_str("=\"");
        escape(&mut self.0, value);
        self.0.push_str("\">");
    }

    /// Ends an element.
    pub fn close(&mut self, tag: &str) {
        self.0.push_str("</");
        self.0.push_str(tag);
        self.0.push('>');
    }

    /// Text.
    pub fn text(&mut self, text: &str) {
        escape(&mut self.0, text);
    }

    /// HTML that was written before.
    pub fn html(&mut self, html: &str) {
        self.0.push_str(html);
    }

    /// An element that holds text alone.
    pub fn leaf(&mut self, tag: &str, attributes: &str, text: &str) {
        self.open(tag, attributes);
        self.text(text);
        self.close(tag);
    }

    /// What was written.
    pub fn done(self) -> String {
        self.0
    }
}

/// Adds `text` with the four characters replaced that HTML gives a meaning, in content and in attributes alike.
pub fn escape(out: &mut String, text: &str) {
    for c in text.chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            c => out.push(c),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn text_and_attributes_are_escaped() {
        let mut html = Html::default();
        html.open_with("p", "class=\"a\"", "data-x", "\"><script>");
        html.text("a < b & \"c\"");
        html.close("p");
        let expected = "<p class=\"a\" data-x=\"&quot;&gt;&lt;script&gt;\">a &lt; b &amp; &quot;c&quot;</p>";
        assert_eq!(html.done(), expected);
    }
}
