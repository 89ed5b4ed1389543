//! A box with its label, its help, and what did not fit.

use maud::{Markup, html};

/// What kind of box it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Kind {
    /// One line. Lengths too: a number keypad has no space and no stroke.
    Line,
    /// A day.
    Day,
    /// A time of day.
    Time,
    /// Several lines.
    Text(u8),
}

/// A box she types in.
#[derive(Clone, Debug)]
pub(crate) struct Field<'a> {
    name: &'a str,
    label: &'a str,
    value: &'a str,
    help: Option<&'a str>,
    fault: Option<&'a str>,
    kind: Kind,
    required: bool,
}

impl<'a> Field<'a> {
    /// A line with its label and what stands in it.
    pub(crate) fn new(name: &'a str, label: &'a str, value: &'a str) -> Self {
        Self {
            name,
            label,
            value,
            help: None,
            fault: None,
            kind: Kind::Line,
            required: false,
        }
    }

    /// Another kind of box.
    pub(crate) fn kind(mut self, kind: Kind) -> Self {
        self.kind = kind;
        self
    }

    /// A line of help under it.
    pub(crate) fn help(mut self, help: &'a str) -> Self {
        self.help = Some(help);
        self
    }

    /// What did not fit, said at the box.
    pub(crate) fn fault(mut self, fault: Option<&'a str>) -> Self {
        self.fault = fault;
        self
    }

    /// It has to be filled in.
    pub(crate) fn required(mut self) -> Self {
        self.required = true;
        self
    }

    /// Its id on the page: a fault's summary leads there.
    pub(crate) fn id(&self) -> String {
        id(self.name)
    }

    /// The box.
    pub(crate) fn html(&self) -> Markup {
        let id = self.id();
        let help_id = format!("{id}-help");
        let fault_id = format!("{id}-fault");
        let mut told = Vec::new();
        if self.help.is_some() {
            told.push(help_id.as_str());
        }
        if self.fault.is_some() {
            told.push(fault_id.as_str());
        }
        let told = (!told.is_empty()).then(|| told.join(" "));
        let odd = self.fault.map(|_| "true");
        html! {
            div.field {
                label for=(id) { (self.label) }
                @if let Some(fault) = self.fault { p.fault id=(fault_id) { (fault) } }
                @match self.kind {
                    Kind::Text(rows) => {
                        textarea.box id=(id) name=(self.name) rows=(rows) required[self.required] aria-invalid=[odd] aria-describedby=[&told] { "\n" (self.value) }
                    }
                    Kind::Line | Kind::Day | Kind::Time => {
                        input.box id=(id) name=(self.name) type=(self.input()) value=(self.value) autocomplete="off" required[self.required] aria-invalid=[odd] aria-describedby=[&told];
                    }
                }
                @if let Some(help) = self.help { p.help id=(help_id) { (help) } }
            }
        }
    }

    fn input(&self) -> &'static str {
        match self.kind {
            Kind::Day => "date",
            Kind::Time => "time",
            Kind::Line | Kind::Text(_) => "text",
        }
    }
}

/// The id of the box with this name.
pub(crate) fn id(name: &str) -> String {
    let safe: String = name
        .chars()
        .map(|c| if c.is_ascii_alphanumeric() { c } else { '-' })
        .collect();
    format!("f-{safe}")
}

/// One of several, as round buttons in a row of lines.
#[derive(Clone, Debug)]
pub(crate) struct Choice<'a> {
    pub(crate) name: &'a str,
    pub(crate) legend: &'a str,
    /// Value, words, and a word more.
    pub(crate) ways: &'a [(&'a str, &'a str, &'a str)],
    pub(crate) chosen: &'a str,
}

impl Choice<'_> {
    /// The buttons.
    pub(crate) fn html(&self) -> Markup {
        html! {
            fieldset.choose {
                legend { (self.legend) }
                @for (value, words, more) in self.ways {
                    label {
                        input type="radio" name=(self.name) value=(value) checked[*value == self.chosen];
                        span { (words) }
                        @if !more.is_empty() { span.help { (more) } }
                    }
                }
            }
        }
    }
}

/// What did not fit, on top of a form, with a way to each box. It takes the focus.
pub(crate) fn summary(faults: &[(String, String)]) -> Markup {
    html! {
        @if !faults.is_empty() {
            div.faults #faults role="alert" tabindex="-1" data-focus aria-labelledby="faults-h" {
                h2 #faults-h {
                    @if faults.len() == 1 { "One thing to look at" } @else { (faults.len()) " things to look at" }
                }
                ul {
                    @for (name, fault) in faults {
                        li { a href={ "#" (id(name)) } { (fault) } }
                    }
                }
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_box_is_named_and_tells_its_fault() {
        let html = Field::new("waist/1", "Waist", "<27>")
            .help("Round the body")
            .fault(Some("27 what?"))
            .html()
            .into_string();
        assert!(html.contains("<label for=\"f-waist-1\">Waist</label>"));
        assert!(html.contains("id=\"f-waist-1\""));
        assert!(html.contains("aria-describedby=\"f-waist-1-help f-waist-1-fault\""));
        assert!(html.contains("value=\"&lt;27&gt;\""));
        let top = summary(&[("waist/1".into(), "Waist: 27 what?".into())]).into_string();
        assert!(top.contains("href=\"#f-waist-1\""));
        assert!(summary(&[]).into_string().is_empty());
    }
}
